package server

import (
	"context"
	"net/http"

	"tenoff/internal/server/wire"
)

func (s *Server) bullpenRoutes() {
	serve(s, op("listBullpens", http.MethodGet, "/api/bullpens", "Bullpens, latest first"), s.listBullpens)
	serve(s, op("addBullpen", http.MethodPost, "/api/bullpens", "Begin a bullpen"), s.addBullpen)
	serve(s, op("getBullpen", http.MethodGet, "/api/bullpens/{id}", "One bullpen's sheet: films, reps with their numbers, summaries, clips, jobs"), s.getBullpen)
	serve(s, op("editBullpen", http.MethodPatch, "/api/bullpens/{id}", "Change a bullpen's own fields"), s.editBullpen)
	serve(s, op("removeBullpen", http.MethodDelete, "/api/bullpens/{id}", "Delete a bullpen with its films, reps and clips"), s.removeBullpen)
}

type listBullpens struct {
	Pitcher string `query:"pitcher" maxLength:"64" doc:"only hers"`
	Cursor  string `query:"cursor" maxLength:"400" doc:"next of the page before"`
	Limit   int    `query:"limit" minimum:"1" maximum:"200" default:"50"`
}

func (s *Server) listBullpens(context.Context, *listBullpens) (wire.BullpenList, error) {
	return wire.BullpenList{}, notYet()
}

func (s *Server) addBullpen(context.Context, *sent[wire.NewBullpen]) (wire.Bullpen, error) {
	return wire.Bullpen{}, notYet()
}

func (s *Server) getBullpen(context.Context, *byID) (wire.Sheet, error) {
	return wire.Sheet{}, notYet()
}

func (s *Server) editBullpen(context.Context, *to[wire.BullpenEdit]) (wire.Bullpen, error) {
	return wire.Bullpen{}, notYet()
}

func (s *Server) removeBullpen(context.Context, *remove) (wire.Removed, error) {
	return wire.Removed{}, notYet()
}
