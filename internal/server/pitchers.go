package server

import (
	"context"
	"net/http"

	"tenoff/internal/server/wire"
)

func (s *Server) pitcherRoutes() {
	serve(s, op("listPitchers", http.MethodGet, "/api/pitchers", "All pitchers"), s.listPitchers)
	serve(s, op("addPitcher", http.MethodPost, "/api/pitchers", "Add a pitcher"), s.addPitcher)
	serve(s, op("getPitcher", http.MethodGet, "/api/pitchers/{id}", "One pitcher's page"), s.getPitcher)
	serve(s, op("editPitcher", http.MethodPatch, "/api/pitchers/{id}", "Change a pitcher's settings"), s.editPitcher)
	serve(s, op("removePitcher", http.MethodDelete, "/api/pitchers/{id}", "Delete a pitcher with all her films, reps and clips"), s.removePitcher)
}

func (s *Server) listPitchers(context.Context, *struct{}) (wire.PitcherList, error) {
	return wire.PitcherList{}, notYet()
}

func (s *Server) addPitcher(context.Context, *sent[wire.NewPitcher]) (wire.Pitcher, error) {
	return wire.Pitcher{}, notYet()
}

func (s *Server) getPitcher(context.Context, *byID) (wire.PitcherPage, error) {
	return wire.PitcherPage{}, notYet()
}

func (s *Server) editPitcher(context.Context, *to[wire.PitcherEdit]) (wire.Pitcher, error) {
	return wire.Pitcher{}, notYet()
}

func (s *Server) removePitcher(context.Context, *remove) (wire.Removed, error) {
	return wire.Removed{}, notYet()
}
