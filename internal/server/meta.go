package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

func (s *Server) metaRoutes() {
	serve(s, op("pitchTypes", http.MethodGet, "/api/pitch-types", "The pitch types"), s.pitchTypes)
	serve(s, op("health", http.MethodGet, "/api/health", "Does the server answer?"), s.health)
	serve(s, op("doctor", http.MethodGet, "/api/doctor", "What this machine can do"), s.doctor)
}

func (s *Server) pitchTypes(context.Context, *struct{}) (wire.PitchTypes, error) {
	var out wire.PitchTypes
	for _, t := range bullpen.PitchTypes {
		out.PitchTypes = append(out.PitchTypes, wire.PitchType{Code: t.Code, Key: t.Key, Name: t.Name, Band: (*wire.Band)(t.Band)})
	}
	return out, nil
}

func (s *Server) health(ctx context.Context, _ *struct{}) (wire.Health, error) {
	return wire.Health{OK: true, Version: s.deps.Version}, s.deps.Store.Ping(ctx)
}
