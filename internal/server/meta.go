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

func (s *Server) levels(context.Context, *struct{}) (wire.Levels, error) {
	return wire.Levels{}, notYet()
}

type editLevel struct {
	Key  string `path:"key" maxLength:"40"`
	Body wire.LevelEdit
}

func (s *Server) editLevel(context.Context, *editLevel) (wire.Level, error) {
	return wire.Level{}, notYet()
}

func (s *Server) health(context.Context, *struct{}) (wire.Health, error) {
	return wire.Health{}, notYet()
}

func (s *Server) doctor(context.Context, *struct{}) (wire.Doctor, error) {
	return wire.Doctor{}, notYet()
}
