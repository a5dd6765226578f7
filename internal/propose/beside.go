package propose

import (
	"context"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// beside is a film beside another one, with marks that may count for that one too.
type beside struct {
	film store.Film
	seen trace.Film
}

// fewMarked is how many films of one place have marks until another one's add nothing.
const fewMarked = 3

// marked are the releases marked on film f, file seconds.
func marked(f store.Film, reps []bullpen.Rep) []float64 {
	var out []float64
	for _, r := range reps {
		if r.FilmID == f.ID && r.Release >= 0 && r.Release < f.Clock.Frames() {
			out = append(out, f.Clock.FileSeconds(r.Release))
		}
	}
	return out
}

// fromSamePlace reports whether two films may show the pitcher from one place: as far as
// anybody said, and by how the phone was held.
func fromSamePlace(a, b store.Film) bool {
	return a.View == b.View && (a.Height > a.Width) == (b.Height > b.Width)
}

// alike lists the bullpen's other films from f's place that have marks, the nearest in
// order first. Traces that can't be read, or are of another version, are passed over: their
// film is looked at anew by itself.
func (s *Proposer) alike(ctx context.Context, f store.Film, reps []bullpen.Rep) ([]beside, error) {
	films, err := s.store.Films(ctx, f.BullpenID)
	if err != nil {
		return nil, err
	}
	films = slices.DeleteFunc(films, func(o store.Film) bool {
		return o.ID == f.ID || o.State != bullpen.FilmReady || !fromSamePlace(f, o) || len(marked(o, reps)) == 0
	})
	far := func(o store.Film) int { return max(o.Position-f.Position, f.Position-o.Position) }
	slices.SortStableFunc(films, func(a, b store.Film) int { return far(a) - far(b) })
	var out []beside
	for _, o := range films[:min(len(films), fewMarked)] {
		motion := new(trace.Motion)
		if err := s.load(ctx, o.Made.Motion, motion); err != nil || motion.Slow != o.Clock.SlowFactor() {
			continue
		}
		out = append(out, beside{o, trace.Film{Motion: motion.Within(o.Box), Marked: marked(o, reps)}})
	}
	return out, nil
}

// besidePayload is the payload of a look at a film because of marks on another one.
const besidePayload = `{"beside":true}`

// TakeBack has the films from f's place that were found by marks on other films looked at
// anew, for f has none any more, or is gone: what its marks told them no longer holds.
func (s *Proposer) TakeBack(ctx context.Context, f store.Film) error {
	reps, err := s.store.Reps(ctx, f.BullpenID)
	if err != nil {
		return err
	}
	proposals, err := s.store.Proposals(ctx, f.BullpenID)
	if err != nil {
		return err
	}
	return s.lookBeside(ctx, f, reps, func(o store.Film) bool {
		return slices.ContainsFunc(proposals, func(p store.Proposal) bool {
			return p.FilmID == o.ID && p.State == store.ProposalOpen && !p.Rough
		})
	})
}

// lookBeside has the films from f's place that have no marks of their own looked at anew,
// only those that are wanted if wanted is not nil. Each is looked at by a job of its own,
// which sees it as it is by then, and never runs beside another one on that film.
func (s *Proposer) lookBeside(ctx context.Context, f store.Film, reps []bullpen.Rep, wanted func(store.Film) bool) error {
	films, err := s.store.Films(ctx, f.BullpenID)
	if err != nil {
		return err
	}
	for _, o := range films {
		if o.ID == f.ID || o.State != bullpen.FilmReady || !fromSamePlace(f, o) || len(marked(o, reps)) > 0 || wanted != nil && !wanted(o) {
			continue
		}
		if _, err := s.store.AddJob(ctx, store.NewJob{Kind: Kind, Subject: o.ID, BullpenID: o.BullpenID, Payload: besidePayload}); err != nil {
			return err
		}
	}
	return nil
}
