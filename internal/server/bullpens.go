package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
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

func (s *Server) listBullpens(ctx context.Context, in *listBullpens) (wire.BullpenList, error) {
	cards, next, err := s.deps.Store.Bullpens(ctx, in.Pitcher, store.Page{Cursor: in.Cursor, Limit: in.Limit})
	return wire.BullpenList{Bullpens: bullpenCards(cards), Next: next}, err
}

func (s *Server) addBullpen(ctx context.Context, in *sent[wire.NewBullpen]) (wire.Bullpen, error) {
	n := in.Body
	var her bullpen.Pitcher
	var err error
	switch {
	case n.PitcherID != "":
		her, err = s.deps.Store.Pitcher(ctx, n.PitcherID)
	case n.PitcherLabel != "":
		her, err = s.newPitcher(ctx, wire.NewPitcher{Label: n.PitcherLabel, Level: n.PitcherLevel, Unit: n.Unit})
	default:
		err = bullpen.Errorf(bullpen.Invalid, "A bullpen needs a pitcher: choose one, or type a nickname for a new one.")
	}
	if err != nil {
		return wire.Bullpen{}, err
	}
	b := her.Begin(s.today())
	n.Onto(&b)
	if her.ID != "" {
		b, err = s.deps.Store.AddBullpen(ctx, b, n.Day != "")
	} else {
		_, b, err = s.deps.Store.AddBullpenFor(ctx, her, b, n.Day != "")
	}
	return wire.BullpenOf(b), err
}

func (s *Server) editBullpen(ctx context.Context, in *to[wire.BullpenEdit]) (wire.Bullpen, error) {
	b, _, err := s.deps.Store.Bullpen(ctx, in.ID)
	if err != nil {
		return wire.Bullpen{}, err
	}
	in.Body.Onto(&b)
	b, _, err = s.deps.Store.SaveBullpen(ctx, b)
	return wire.BullpenOf(b), err
}

func (s *Server) removeBullpen(ctx context.Context, in *removeAll) (wire.Removed, error) {
	return s.take(ctx, in, s.deps.Intake.RemoveBullpen)
}

func bullpenCards(cards []store.BullpenCard) []wire.BullpenCard {
	out := make([]wire.BullpenCard, len(cards))
	for i, c := range cards {
		out[i] = wire.BullpenCard{
			ID: c.ID, Version: c.Version, Revision: c.Revision, PitcherID: c.PitcherID, PitcherLabel: c.PitcherLabel,
			Day: c.Day, Title: c.Title, Films: c.Films, Reading: c.Reading, Reps: c.Reps, Readings: c.Readings, Clips: c.Clips,
		}
	}
	return out
}
