package judged

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/store"
)

// Moves is how she moves on an off-speed pitch against what she throws as her fastball in
// the same bullpen, seen from the same place.
type Moves struct {
	Pitch     bullpen.Pitch
	Baseline  bullpen.Pitch // what she throws as her fastball
	Fast, Off int           // deliveries in which joints were measured
	// Differences are all that was compared, the surest first; none where one of the two
	// has fewer than posture.Least deliveries.
	Differences []posture.Difference

	at seenFrom
}

// Tracks gives where her joints are round a frame of a film; nil where nobody looked.
type Tracks func(f store.Film, frame int) (posture.Track, error)

func noTracks(store.Film, int) (posture.Track, error) { return nil, nil }

// seenFrom is a place that films were taken from. Only deliveries from the same one are
// compared: one camera sees a shadow of the body.
type seenFrom struct {
	view    bullpen.View
	upright bool
	rate    int // frames a second, to the nearest 15
}

// before puts places into an order, so that of two that are as good the same is taken
// each time.
func (at seenFrom) before(other seenFrom) int {
	upright := func(p seenFrom) int {
		if p.upright {
			return 1
		}
		return 0
	}
	return cmp.Or(cmp.Compare(at.view, other.view), upright(at)-upright(other), at.rate-other.rate)
}

// inOrder returns the places of a map in their order.
func inOrder[V any](places map[seenFrom]V) []seenFrom {
	return slices.SortedFunc(maps.Keys(places), seenFrom.before)
}

// Moves compares the full pitches of each off-speed type with her fastballs, warm-ups and
// drills left out; of several places that films were taken from, the one with most of
// both. The types come in the order of bullpen.PitchTypes.
func (b Bullpen) Moves(tracks Tracks) ([]Moves, error) {
	type group = map[bullpen.Pitch][]map[posture.Kind]posture.Measure
	places := map[seenFrom]group{}
	for i, r := range b.Reps {
		if r.WarmUp || bullpen.DrillKey(r.Drill) != "" {
			continue
		}
		at, measured, err := b.measured(i, tracks)
		if err != nil {
			return nil, err
		}
		if len(measured) == 0 {
			continue
		}
		if places[at] == nil {
			places[at] = group{}
		}
		places[at][r.Pitch] = append(places[at][r.Pitch], measured)
	}
	var out []Moves
	for _, t := range bullpen.PitchTypes {
		if t.Code == b.Baseline() || t.Band == nil { // not an off-speed pitch
			continue
		}
		var best Moves
		for _, at := range inOrder(places) {
			g := places[at]
			fast, off := g[b.Baseline()], g[t.Code]
			if len(off) == 0 {
				continue
			}
			m := Moves{Pitch: t.Code, Baseline: b.Baseline(), Fast: len(fast), Off: len(off), at: at}
			if c := cmp.Compare(min(m.Fast, m.Off), min(best.Fast, best.Off)); c < 0 || c == 0 && m.Fast+m.Off <= best.Fast+best.Off {
				continue
			}
			m.Differences = posture.Compare(fast, off)
			best = m
		}
		if best.Off > 0 {
			out = append(out, best)
		}
	}
	return out, nil
}

// measured measures rep i; nothing where its joints or its release are not known.
func (b Bullpen) measured(i int, tracks Tracks) (at seenFrom, out map[posture.Kind]posture.Measure, err error) {
	m, err := b.moving(i, tracks)
	if err != nil || m.body == nil {
		return at, nil, err
	}
	u := math.Hypot(instantU, 1/m.rate/math.Sqrt(12))
	return m.from, m.body.Measures(posture.Instants{Plant: m.plant, Release: m.release, U: u}, b.rightHanded()), nil
}

// moving is one rep's body.
type moving struct {
	rep     int    // index of the bullpen's reps
	film    string // its ID
	from    seenFrom
	rate    float64 // frames a second
	body    *posture.Body
	release float64 // real seconds of the film
	plant   float64 // likewise; NaN where nobody knows
}

// moving returns rep i's body; none where its joints or its release are not known.
func (b Bullpen) moving(i int, tracks Tracks) (m moving, err error) {
	r := b.Reps[i]
	k := slices.IndexFunc(b.Films, func(f store.Film) bool { return f.ID == r.FilmID })
	if k < 0 || r.Release < 0 || b.Films[k].State != bullpen.FilmReady || r.Release >= b.Films[k].Clock.Frames() {
		return m, nil
	}
	f := b.Films[k]
	track, err := tracks(f, r.Release)
	if err != nil || len(track) < 2 {
		return m, err
	}
	rate := track.Rate()
	body, err := posture.Of(track, rate)
	if err != nil { // not seen well enough: nothing is measured
		return m, nil
	}
	m = moving{
		rep: i, film: f.ID, rate: rate, body: body, release: f.Clock.RealSeconds(0, r.Release), plant: math.NaN(),
		from: seenFrom{view: f.View, upright: f.Height > f.Width, rate: 15 * int(math.Round(rate/15))},
	}
	moments := b.Body.Reps[i].Moments
	switch {
	case moments.Plant != nil && moments.Release != nil:
		// As far before the release as it was, whichever way either was found.
		m.plant = m.release - (moments.Release.Seconds - moments.Plant.Seconds)
	default:
		if contact, ok := body.FootContact(m.release, b.rightHanded()); ok {
			m.plant = contact
		}
	}
	return m, nil
}

func (b Bullpen) rightHanded() bool { return b.Pitcher.Hand != "left" }

// instantU is the standard uncertainty of an instant beside the frame's own, seconds: that
// of a mark by eye (tempo.EyeSpread).
const instantU = 0.008
