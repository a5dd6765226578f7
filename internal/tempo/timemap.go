package tempo

import "math"

// timeMap is how a rep's own time goes over the template's for one part of the body: in
// real seconds per template second, one pace up to the plant and another from there to
// the release. A body has mass: its pace turns from the one into the other smoothly,
// by a monotone cubic with the harmonic mean of both as its slope at the plant
// (Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5, 300, 1984; from memory). A body
// that waits for its arm slows down before its foot lands, not when it has.
type timeMap struct {
	ref                  Instants // in template time
	before, plant, after float64
}

// mostBend is how many times slower or quicker than before the plant the body may
// be after it.
const mostBend = 2.5

// even is one pace throughout.
func even(pace float64) timeMap { return timeMap{before: pace, plant: pace, after: pace} }

// bent is one pace before the plant and another after it.
func bent(ref Instants, before, after float64) timeMap {
	after = min(max(after, before/mostBend), before*mostBend)
	return timeMap{ref: ref, before: before, plant: 2 * before * after / (before + after), after: after}
}

// seconds returns the real seconds from the plant to template time u.
func (w timeMap) seconds(u float64) float64 {
	x, far := w.reach(u)
	u -= w.ref.Plant
	return u * (w.plant + (far-w.plant)*(2*x-x*x))
}

// pace returns the real seconds per template second at template time u.
func (w timeMap) pace(u float64) float64 {
	x, far := w.reach(u)
	if x >= 1 {
		return far
	}
	return w.plant + (far-w.plant)*(4*x-3*x*x)
}

// reach returns how far u lies from the plant towards the drive or the release, 0 to 1,
// and the pace there.
func (w timeMap) reach(u float64) (x, far float64) {
	far, end := w.before, w.ref.Drive
	if u > w.ref.Plant {
		far, end = w.after, w.ref.Release
	}
	if end == w.ref.Plant { // an even pace knows no instants
		return 1, far
	}
	return min((u-w.ref.Plant)/(end-w.ref.Plant), 1), far
}

// own returns the template time that lies so many real seconds from the plant.
func (w timeMap) own(seconds float64) float64 {
	lo, hi := tempFrom, tempTo
	for range 24 { // to 0.1 microseconds
		if middle := (lo + hi) / 2; w.seconds(middle) < seconds {
			lo = middle
		} else {
			hi = middle
		}
	}
	return (lo + hi) / 2
}

// energyPace is the power of the pace with which a cell's value falls off: it is the
// square root of an energy that grows a little faster than the movement between two
// frames, since what is no more than the picture's noise does not count. 0.5 to 1 on
// generated film.
const energyPace = 0.85

// lay says how a patch lies in a window: for each of its samples the real seconds from
// its instant, what the window's cells are multiplied by to be as bright as at the
// template's pace, and which of its cells to look at where the body stands aside.
type lay struct {
	lags  []float64
	gains []float32 // nil for none
	aside []aside   // nil for the patch's own
}

// lay lays the template times us of a patch round its instant u.
func (w timeMap) lay(us []float64, u float64) lay {
	l := lay{lags: make([]float64, len(us))}
	for j := range us {
		l.lags[j] = w.seconds(us[j]) - w.seconds(u)
	}
	if w.before != w.after {
		for _, u := range us {
			l.gains = append(l.gains, float32(math.Pow(w.pace(u), energyPace)))
		}
	}
	return l
}

// track is where the body stands across the picture, in cells, at the template's times.
type track []float64

// trackOf follows the middle of what moves among the given cells (indices into t.list).
func trackOf(t template, cells []int) track {
	out := make(track, len(t.cells))
	for k, row := range t.cells {
		var x, sum float64
		for _, i := range cells {
			e := float64(row[i]) * float64(row[i])
			x += e * float64(t.list[i]%t.cols)
			sum += e
		}
		if sum > 0 {
			out[k] = x / sum
		}
	}
	return out
}

func (x track) at(u float64) float64 {
	p := (u - tempFrom) * tempRate
	k := int(math.Floor(p))
	a := p - float64(k)
	last := len(x) - 1
	return x[min(max(k, 0), last)]*(1-a) + x[min(max(k+1, 0), last)]*a
}

// carried returns how many cells further to the right than in the template the body
// stands at each of the arm's template times us. wait is how many real seconds after
// the plant the release comes.
func (x track) carried(us []float64, arm, legs timeMap, release, wait float64) []float64 {
	out := make([]float64, len(us))
	for j, u := range us {
		body := legs.own(wait + arm.seconds(u) - arm.seconds(release))
		out[j] = x.at(body) - x.at(u)
	}
	return out
}
