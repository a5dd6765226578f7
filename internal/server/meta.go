package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

func (s *Server) metaRoutes() {
	serve(s, op("pitchTypes", http.MethodGet, "/api/pitch-types", "The pitch types"), s.pitchTypes)
	serve(s, op("levels", http.MethodGet, "/api/levels", "The levels, from the youngest"), s.levels)
	serve(s, op("editLevel", http.MethodPatch, "/api/levels/{key}", "Change a level"), s.editLevel)
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

func (s *Server) levels(ctx context.Context, _ *struct{}) (wire.Levels, error) {
	levels, err := s.deps.Store.Levels(ctx)
	out := wire.Levels{Levels: make([]wire.Level, len(levels))}
	for i, l := range levels {
		out.Levels[i] = wire.LevelOf(l.Level, l.Version)
	}
	return out, err
}

type editLevel struct {
	Key  string `path:"key" maxLength:"40"`
	Body wire.LevelEdit
}

func (s *Server) editLevel(ctx context.Context, in *editLevel) (wire.Level, error) {
	l, err := s.deps.Store.Level(ctx, in.Key)
	if err != nil {
		return wire.Level{}, err
	}
	l.Version = in.Body.Version
	in.Body.Onto(&l.Level)
	if err := checkBands(l.Bands); err != nil {
		return wire.Level{}, err
	}
	l, err = s.deps.Store.SaveLevel(ctx, l)
	return wire.LevelOf(l.Level, l.Version), err
}

func (s *Server) health(ctx context.Context, _ *struct{}) (wire.Health, error) {
	return wire.Health{OK: true, Version: s.deps.Version}, s.deps.Store.Ping(ctx)
}
