package propose

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// RemarkReps is how many reps are marked again.
const RemarkReps = 5

// SecondMark is a rep to be marked again, without its marks.
type SecondMark struct {
	Rep      bullpen.Rep // Drive, Plant, Top and Release are not said
	From, To int         // frames to look at
	Instants []bullpen.Event
}

// remarkLead is how many real seconds before the first of its instants the look at a
// rep begins, at least and at most: chance decides, so that nobody can count frames.
const (
	remarkLead = 0.4
	remarkPlay = 0.6
	remarkTail = 0.5
)

// SecondMarks picks reps of a bullpen that have marks placed by hand, those with most
// instants first, else by chance.
func (s *Proposer) SecondMarks(ctx context.Context, bullpenID string) ([]SecondMark, error) {
	films, reps, err := s.handMarked(ctx, bullpenID)
	if err != nil {
		return nil, err
	}
	rand.Shuffle(len(reps), func(i, j int) { reps[i], reps[j] = reps[j], reps[i] })
	slices.SortStableFunc(reps, func(a, b bullpen.Rep) int { return len(marksOf(b)) - len(marksOf(a)) })
	out := make([]SecondMark, 0, RemarkReps)
	for _, r := range reps[:min(len(reps), RemarkReps)] {
		c := films[r.FilmID].Clock
		first, last := math.MaxInt, 0
		again := SecondMark{Instants: marksOf(r)}
		for _, e := range again.Instants {
			first, last = min(first, r.Frame(e)), max(last, r.Frame(e))
		}
		lead := remarkLead + remarkPlay*rand.Float64()
		again.From = nearest(c, (c.RealSeconds(0, first)-lead)*c.SlowFactor())
		again.To = nearest(c, (c.RealSeconds(0, last)+remarkTail+remarkPlay*rand.Float64())*c.SlowFactor())
		r.Drive, r.Plant, r.Top, r.Release = bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked
		again.Rep = r
		out = append(out, again)
	}
	return out, nil
}

// handMarked lists a bullpen's reps with the marks that a person placed, and its
// films.
func (s *Proposer) handMarked(ctx context.Context, bullpenID string) (map[string]store.Film, []bullpen.Rep, error) {
	all, err := s.store.Films(ctx, bullpenID)
	if err != nil {
		return nil, nil, err
	}
	films := map[string]store.Film{}
	for _, f := range all {
		if f.State == bullpen.FilmReady {
			films[f.ID] = f
		}
	}
	reps, err := s.store.Reps(ctx, bullpenID)
	if err != nil {
		return nil, nil, err
	}
	accepted, err := s.store.Accepted(ctx, bullpenID)
	if err != nil {
		return nil, nil, err
	}
	for i := range reps {
		if a, ok := accepted[reps[i].ID]; ok {
			takeOff(&reps[i], a)
		}
	}
	reps = slices.DeleteFunc(reps, func(r bullpen.Rep) bool {
		f, ok := films[r.FilmID]
		return !ok || len(marksOf(r)) == 0 || slices.ContainsFunc(marksOf(r), func(e bullpen.Event) bool { return r.Frame(e) >= f.Clock.Frames() })
	})
	return films, reps, nil
}

// takeOff takes off the marks of a rep that were taken over from what was found and
// not moved since.
func takeOff(r *bullpen.Rep, a store.Accepted) {
	for _, m := range []struct {
		mark *int
		was  int
	}{{&r.Drive, a.Drive}, {&r.Plant, a.Plant}, {&r.Top, a.Top}} {
		if *m.mark == m.was {
			*m.mark = bullpen.Unmarked
		}
	}
}

func marksOf(r bullpen.Rep) []bullpen.Event {
	var out []bullpen.Event
	for _, e := range []bullpen.Event{bullpen.Drive, bullpen.Plant, bullpen.Top, bullpen.Release} {
		if r.Frame(e) >= 0 {
			out = append(out, e)
		}
	}
	return out
}

// Spread returns the instructor's own spread of one mark in seconds, from reps that
// she marked again, and on how many marks it rests. reps carry the second marks.
func (s *Proposer) Spread(ctx context.Context, again []bullpen.Rep) (seconds float64, marks int, err error) {
	var differences []float64
	var squares float64
	for _, second := range again {
		first, err := s.store.Rep(ctx, second.ID)
		if err != nil {
			return 0, 0, err
		}
		f, err := s.store.Film(ctx, first.FilmID)
		if err != nil {
			return 0, 0, err
		}
		gaps := tempo.GapsOf(first, f.Clock)
		for e, gap := range map[bullpen.Event]float64{bullpen.Drive: gaps.Drive, bullpen.Plant: gaps.Plant, bullpen.Top: gaps.Top, bullpen.Release: gaps.Release} {
			a, b := first.Frame(e), second.Frame(e)
			if a < 0 || b < 0 || math.IsNaN(gap) {
				continue
			}
			if b >= f.Clock.Frames() {
				return 0, 0, bullpen.Errorf(bullpen.Invalid, "Frame %d lies after the end of the film, which has %d frames.", b, f.Clock.Frames())
			}
			differences = append(differences, f.Clock.RealSeconds(a, b))
			squares += gap * gap
		}
	}
	marks = len(differences)
	seconds, ok := tempo.RemarkSpread(differences, math.Sqrt(squares/float64(max(marks, 1))))
	if !ok {
		return 0, marks, bullpen.Errorf(bullpen.Invalid, "%d instants are marked twice; it takes five at least to tell how closely you mark.", marks)
	}
	return seconds, marks, nil
}
