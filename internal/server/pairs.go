package server

import (
	"context"
	"fmt"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
)

func (s *Server) pairRoutes() {
	serve(s, op("lookAtPair", http.MethodGet, "/api/pairs", "Two reps to look at side by side"), s.lookAtPair)
}

type lookAtPair struct {
	Off  string `query:"off" required:"true" maxLength:"64" doc:"the off-speed rep"`
	Fast string `query:"fast" maxLength:"64" doc:"the rep beside it; unless said, the baseline pitch nearest the baseline"`
}

// choicesFrom is how many of her latest bullpens other reps are offered from.
const choicesFrom = 6

func (s *Server) lookAtPair(ctx context.Context, in *lookAtPair) (wire.PairLook, error) {
	off, err := s.deps.Store.Rep(ctx, in.Off)
	if err != nil {
		return wire.PairLook{}, err
	}
	boards := map[string]shelf.Board{}
	here, err := s.boardIn(ctx, boards, off.BullpenID)
	if err != nil {
		return wire.PairLook{}, err
	}
	var fast bullpen.Rep
	if in.Fast != "" {
		fast, err = s.deps.Store.Rep(ctx, in.Fast)
	} else {
		fast, err = here.Partner(off)
	}
	if err != nil {
		return wire.PairLook{}, err
	}
	there, err := s.boardIn(ctx, boards, fast.BullpenID)
	if err != nil {
		return wire.PairLook{}, err
	}
	out := wire.PairLook{OffChoices: []wire.PairChoice{}, FastChoices: []wire.PairChoice{}}
	if out.Off, err = sideOf(here, off); err != nil {
		return wire.PairLook{}, err
	}
	if out.Fast, err = sideOf(there, fast); err != nil {
		return wire.PairLook{}, err
	}
	cards, _, err := s.deps.Store.Bullpens(ctx, here.Pitcher.ID, store.Page{Limit: choicesFrom})
	if err != nil {
		return wire.PairLook{}, err
	}
	for _, c := range cards {
		b, err := s.boardIn(ctx, boards, c.ID)
		if err != nil {
			return wire.PairLook{}, err
		}
		for _, r := range b.Reps {
			if !showable(b, r) {
				continue
			}
			choice := wire.PairChoice{RepID: r.ID, Label: labelOf(b, r)}
			if r.Pitch == here.Pitcher.BaselinePitch {
				out.FastChoices = append(out.FastChoices, choice)
			} else {
				out.OffChoices = append(out.OffChoices, choice)
			}
		}
	}
	return out, nil
}

func (s *Server) boardIn(ctx context.Context, boards map[string]shelf.Board, id string) (shelf.Board, error) {
	if b, ok := boards[id]; ok {
		return b, nil
	}
	b, err := s.deps.Shelf.Board(ctx, id)
	boards[id] = b
	return b, err
}

// showable reports whether r's release is marked on a film that can be played.
func showable(b shelf.Board, r bullpen.Rep) bool {
	f, ok := filmIn(b, r.FilmID)
	return ok && f.State == bullpen.FilmReady && r.Release >= 0
}

func filmIn(b shelf.Board, id string) (store.Film, bool) {
	for _, f := range b.Films {
		if f.ID == id {
			return f, true
		}
	}
	return store.Film{}, false
}

func nameOf(p bullpen.Pitch) string {
	if t, ok := bullpen.TypeOf(p); ok {
		return t.Name
	}
	return string(p)
}

func labelOf(b shelf.Board, r bullpen.Rep) string {
	text := fmt.Sprintf("%d. %s", r.Order, nameOf(r.Pitch))
	if r.Reading != nil {
		text += fmt.Sprintf(", %v %s", r.Reading.Value, r.Reading.Unit)
	}
	if r.Drill != "" {
		text += ", " + r.Drill
	}
	return text + " (" + b.Bullpen.Day + ")"
}

func sideOf(b shelf.Board, r bullpen.Rep) (wire.PairSide, error) {
	f, ok := filmIn(b, r.FilmID)
	if !ok || !showable(b, r) {
		return wire.PairSide{}, bullpen.Errorf(bullpen.Invalid, "Rep %d has no release marked on a film that can be played; mark it in the film room.", r.Order)
	}
	n, _ := b.Sheet.Rep(r.ID)
	return wire.PairSide{Rep: wire.RepOf(r, n), Film: filmOf(f, nil), Day: b.Bullpen.Day}, nil
}
