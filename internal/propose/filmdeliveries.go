package propose

import (
	"context"
	"math"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/trace"
)

// filmDeliveries is one film's reps as event transfer takes them in.
type filmDeliveries struct {
	film   store.Film
	reps   []bullpen.Rep
	in     []tempo.Delivery
	fast   int
	marked tempo.Instants // any of its own, NaN where none
}

// group is films that may show the pitcher from one place.
type group struct {
	pen   instantInputs
	films []store.Film
}

// groups parts a bullpen's films by where the phone stood and how it was held.
func (p instantInputs) groups() []group {
	type place struct {
		view    bullpen.View
		upright bool
	}
	by := map[place]*group{}
	var order []place
	for _, f := range p.films {
		if !slices.ContainsFunc(p.reps, func(r bullpen.Rep) bool { return r.FilmID == f.ID }) {
			continue
		}
		at := place{f.View, f.Height > f.Width}
		if by[at] == nil {
			by[at] = &group{pen: p}
			order = append(order, at)
		}
		by[at].films = append(by[at].films, f)
	}
	out := make([]group, len(order))
	for i, at := range order {
		out[i] = *by[at]
	}
	return out
}

func (s *Proposer) reelOf(ctx context.Context, p instantInputs, f store.Film) (filmDeliveries, store.InstantSearch, error) {
	motion := new(trace.Motion)
	if err := s.blobs.Load(ctx, f.Made.Motion, motion); err != nil {
		return filmDeliveries{}, store.InstantSearch{}, err
	}
	motion.Slow = f.Clock.SlowFactor() // the user may have said it only later
	r := filmDeliveries{film: f, marked: tempo.Unknown()}
	for _, rep := range p.reps {
		if rep.FilmID != f.ID {
			continue
		}
		d := tempo.Delivery{
			Motion: motion, Guess: f.Clock.RealSeconds(0, rep.Release), Fast: p.isFast(rep),
			Marked: tempo.InstantsOf(p.placed(rep), f.Clock),
		}
		if d.Fast {
			r.fast++
		}
		r.reps, r.in = append(r.reps, rep), append(r.in, d)
		r.marked = r.marked.Or(d.Marked)
	}
	cadence := motion.Cadence().Cadence
	cadence.Step *= motion.Slow
	return r, store.InstantSearch{FilmID: f.ID, Doubled: motion.DoubledShare(), Cadence: cadence}, nil
}

// instantsFound is what a search has found so far.
type instantsFound struct {
	films []store.InstantSearch
	reps  []store.Instants
}

// sameSetUp is the mean match of a film's whole deliveries from which on it shows
// what the marked film shows.
const sameSetUp = 0.70

// instantsOfGroup follows the films of one group: a film with its own marks and
// fastballs enough by itself, the others along with all of them.
func (s *Proposer) instantsOfGroup(ctx context.Context, g group, out *instantsFound, progress func(float64)) error {
	said := map[string]*store.InstantSearch{}
	var own, others []filmDeliveries
	for i, f := range g.films {
		if err := ctx.Err(); err != nil {
			return err
		}
		r, about, err := s.reelOf(ctx, g.pen, f)
		if err != nil {
			return err
		}
		said[f.ID] = &about
		if r.fast >= tempo.LeastFastballs && r.marked.Complete() {
			own = append(own, r)
		} else {
			others = append(others, r)
		}
		progress(0.3 * float64(i+1) / float64(len(g.films)))
	}
	keep := func(r filmDeliveries, got []tempo.Transferred) {
		for i, t := range got {
			if x, ok := instantsOf(r.reps[i], r.film, t); ok {
				out.reps = append(out.reps, x)
			}
		}
	}
	var good []filmDeliveries
	for i, r := range own {
		got, err := tempo.Transfer(r.in)
		if err != nil {
			if said[r.film.ID].Refusal, err = refusalOf(err); err != nil {
				return err
			}
			continue
		}
		good = append(good, r)
		keep(r, got)
		if err := ctx.Err(); err != nil {
			return err
		}
		progress(0.3 + 0.4*float64(i+1)/float64(len(own)+1))
	}
	if err := together(good, others, said, keep); err != nil {
		return err
	}
	for _, f := range g.films {
		out.films = append(out.films, *said[f.ID])
	}
	progress(1)
	return ctx.Err()
}

// together follows the films that can't be followed by themselves, along with those
// that can. A film that turns out to show something else is refused, and the rest
// is done again without it.
func together(own, others []filmDeliveries, said map[string]*store.InstantSearch, keep func(filmDeliveries, []tempo.Transferred)) error {
	marked := tempo.Unknown()
	for _, r := range slices.Concat(own, others) {
		marked = marked.Or(r.marked)
	}
	if !marked.Complete() {
		for _, r := range others {
			said[r.film.ID].Refusal = "The marked fastball is filmed from elsewhere; mark the four instants on a fastball seen from here too, or mark these reps by hand."
		}
		return nil
	}
	for len(others) > 0 {
		var all []tempo.Delivery
		for _, r := range slices.Concat(own, others) {
			all = append(all, r.in...)
		}
		got, err := tempo.Transfer(all)
		if err != nil {
			sentence, err := refusalOf(err)
			for _, r := range others {
				said[r.film.ID].Refusal = sentence
			}
			return err
		}
		for _, r := range own {
			got = got[len(r.in):]
		}
		results := map[string][]tempo.Transferred{}
		alike := slices.Clone(others)
		for _, r := range others {
			results[r.film.ID], got = got[:len(r.in)], got[len(r.in):]
		}
		alike = slices.DeleteFunc(alike, func(r filmDeliveries) bool { return meanMatch(results[r.film.ID]) < sameSetUp })
		if len(alike) == len(others) {
			for _, r := range others {
				keep(r, results[r.film.ID])
			}
			return nil
		}
		for _, r := range others {
			if meanMatch(results[r.film.ID]) < sameSetUp {
				said[r.film.ID].Refusal = "This film does not look like the one with the marks: the phone stood elsewhere, or somebody was in front; mark the four instants on a fastball of this film, or mark its reps by hand."
			}
		}
		others = alike
	}
	return nil
}

func meanMatch(all []tempo.Transferred) float64 {
	var sum float64
	for _, t := range all {
		sum += t.Match
	}
	return sum / float64(len(all))
}

// refusalOf takes the sentence out of a refusal; any other error stays one.
func refusalOf(err error) (string, error) {
	switch bullpen.CodeOf(err) {
	case bullpen.Refused, bullpen.Invalid:
		return bullpen.MessageOf(err), nil
	}
	return "", err
}

// instantsOf is what was found in a rep as it is kept.
func instantsOf(r bullpen.Rep, f store.Film, t tempo.Transferred) (store.Instants, bool) {
	x := store.Instants{
		RepID: r.ID, FilmID: f.ID, Mark: r.Release, Slow: f.Clock.Slow, Trace: trace.Version,
		Drive: store.FoundInstant(t.Drive), Plant: store.FoundInstant(t.Plant),
		Top: store.FoundInstant(t.Top), Release: store.FoundInstant(t.Release),
		Stretch: t.Stretch, Match: t.Match,
	}
	for _, v := range []float64{x.Drive.Seconds, x.Plant.Seconds, x.Top.Seconds, x.Release.Seconds, x.Stretch, x.Match} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return x, false
		}
	}
	return x, true
}
