package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

func (s *Server) repRoutes() {
	serve(s, op("listReps", http.MethodGet, "/api/reps", "Reps across bullpens, latest first"), s.listReps)
	serve(s, op("addRep", http.MethodPost, "/api/bullpens/{id}/reps", "Log a rep"), s.addRep)
	serve(s, op("editRep", http.MethodPatch, "/api/reps/{id}", "Change a rep"), s.editRep)
	serve(s, op("removeRep", http.MethodDelete, "/api/reps/{id}", "Delete a rep; it can be restored"), s.removeRep)
	serve(s, answering(http.StatusOK, op("restoreRep", http.MethodPost, "/api/reps/{id}/restore", "Bring a deleted rep back")), s.restoreRep)
}

type listReps struct {
	Pitcher string          `query:"pitcher" maxLength:"64"`
	Pitch   bullpen.Pitch   `query:"pitch"`
	From    string          `query:"from" format:"date" doc:"first day"`
	To      string          `query:"to" format:"date" doc:"last day"`
	Verdict bullpen.Verdict `query:"verdict"`
	Cursor  string          `query:"cursor" maxLength:"400" doc:"next of the page before"`
	Limit   int             `query:"limit" minimum:"1" maximum:"500" default:"100"`
}

func (s *Server) listReps(context.Context, *listReps) (wire.RepPage, error) {
	return wire.RepPage{}, notYet()
}

func (s *Server) addRep(context.Context, *to[wire.NewRep]) (wire.RepChange, error) {
	return wire.RepChange{}, notYet()
}

func (s *Server) editRep(context.Context, *to[wire.RepEdit]) (wire.RepChange, error) {
	return wire.RepChange{}, notYet()
}

func (s *Server) removeRep(context.Context, *remove) (wire.RepChange, error) {
	return wire.RepChange{}, notYet()
}

func (s *Server) restoreRep(context.Context, *byID) (wire.RepChange, error) {
	return wire.RepChange{}, notYet()
}
