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
	return wire.PitchTypes{PitchTypes: allPitchTypes()}, nil
}

func allPitchTypes() []wire.PitchType {
	out := make([]wire.PitchType, len(bullpen.PitchTypes))
	for i, t := range bullpen.PitchTypes {
		out[i] = wire.PitchType{Code: t.Code, Key: t.Key, Name: t.Name, Plural: t.Plural, Band: (*wire.Band)(t.Band)}
	}
	return out
}

func (s *Server) health(ctx context.Context, _ *struct{}) (wire.Health, error) {
	return wire.Health{OK: true, Version: s.deps.Version}, s.deps.Store.Ping(ctx)
}
