package scout

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
func (s *Scout) alike(ctx context.Context, f store.Film, reps []bullpen.Rep) ([]beside, error) {
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
		if err := s.load(o.Made.Motion, motion); err != nil || motion.Slow != o.Clock.SlowFactor() {
			continue
		}
		out = append(out, beside{o, trace.Film{Motion: motion.Within(o.Box), Marked: marked(o, reps)}})
	}
	return out, nil
}

// proposeBeside looks anew at the films from f's place that have no marks of their own:
// those on f count for them too. Once a few films have some, more add nothing.
func (s *Scout) proposeBeside(ctx context.Context, f store.Film, this trace.Film, alike []beside, reps []bullpen.Rep) error {
	if len(this.Marked) == 0 || len(alike) >= fewMarked {
		return nil
	}
	films, err := s.store.Films(ctx, f.BullpenID)
	if err != nil {
		return err
	}
	alike = append(slices.Clone(alike), beside{f, this})
	for _, o := range films {
		if o.ID == f.ID || o.State != bullpen.FilmReady || !fromSamePlace(f, o) || len(marked(o, reps)) > 0 {
			continue
		}
		motion, sound, err := s.stored(o)
		if err != nil || motion.Slow != o.Clock.SlowFactor() {
			continue // it is looked at anew by itself
		}
		motion.Said = o.SlowKnown
		err = s.propose(ctx, o, trace.Film{Motion: motion.Within(o.Box), Sound: sound}, alike)
		if err != nil && bullpen.CodeOf(err) != bullpen.NotFound { // removed meanwhile
			return err
		}
	}
	return nil
}
