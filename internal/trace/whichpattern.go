package trace

import (
	"cmp"
	"math"
	"slices"
)

// Of a film's recurring motions the deliveries are the one that is vigorous, comes
// out of the stillness of the set position, lies in the middle of the picture and
// is followed by a pop. How still it is afterwards says little: who walks back to
// the rubber stands still on it.
const (
	setFrom, setTo     = 1.2, 0.5  // real seconds before the greatest motion: the set position
	doneFrom, doneTo   = 0.2, 1.0  // and after it
	setMost, doneMost  = 100.0, 10 // times stiller than the motion: more says nothing
	popless, lagAround = 0.25, 0.10
	courseless         = 0.10 // what a motion counts without the course of a delivery
)

// soundtrack is a film's sound, if it has one, and how slowed it plays.
type soundtrack struct {
	sound *Sound
	slow  float64
}

// patterns returns the places of each of the film's recurring patterns, the one
// that looks most like deliveries first.
func (r *coarseMotion) patterns(bursts []int, h soundtrack) [][]place {
	var out [][]place
	for range patternMost {
		places := r.places(bursts)
		if len(places) < 2 {
			break
		}
		out = append(out, places)
		left := slices.DeleteFunc(slices.Clone(bursts), func(k int) bool {
			return slices.ContainsFunc(places, func(p place) bool { return math.Abs(r.second(k)-p.at) < patternApart/2 })
		})
		if len(left) == len(bursts) {
			break
		}
		bursts = left
	}
	slices.SortStableFunc(out, func(a, b []place) int { return cmp.Compare(r.promise(b, h), r.promise(a, h)) })
	return out
}

// promise says how much a pattern's places look like deliveries beside the film's
// other patterns.
func (r *coarseMotion) promise(places []place, h soundtrack) float64 {
	energy, set, done := make([]float64, len(places)), make([]float64, len(places)), make([]float64, len(places))
	like, t := make([]float64, len(places)), r.tideOf(nil, 0)
	for i, p := range places {
		k := r.index(p.at)
		for j := r.index(p.at - setTo); j <= r.index(p.at+setTo); j++ {
			if r.energy[j] > r.energy[k] {
				k = j
			}
		}
		at := r.second(k)
		energy[i] = r.energy[k]
		set[i] = r.energy[k] / max(r.stillest(at-setFrom, at-setTo), 1)
		done[i] = r.energy[k] / max(r.stillest(at+doneFrom, at+doneTo), 1)
		like[i] = max(t.courseNear(at, 1, courseReach), 0)
	}
	return median(energy) * min(median(set), setMost) * min(median(done), doneMost) * r.middle(places) * (popless + h.popped(places)) * (courseless + math.Pow(median(like), 3))
}

// stillest returns the least energy between two real seconds.
func (r *coarseMotion) stillest(from, to float64) float64 {
	return slices.Min(r.energy[r.index(from) : r.index(to)+1])
}

// popped returns the share of places that a pop follows at much the same time, 1
// where there is no sound to tell.
func (h soundtrack) popped(places []place) float64 {
	if h.sound == nil || len(h.sound.Onsets) == 0 {
		return 1
	}
	at := make([]float64, len(places))
	for i, p := range places {
		at[i] = p.at * h.slow
	}
	var lags []float64
	for i, k := range pops(h.sound, at, h.slow, slices.Repeat([]float64{popRough}, len(at))) {
		if k >= 0 {
			lags = append(lags, (h.sound.Onsets[k].Time-at[i])/h.slow)
		}
	}
	usual, n := median(slices.Clone(lags)), 0
	for _, l := range lags {
		if math.Abs(l-usual) < lagAround {
			n++
		}
	}
	return float64(n) / float64(len(places))
}

// standing says how much a pattern's places look like deliveries: much motion,
// out of stillness and back into it, in the middle of the picture.
func (r *coarseMotion) standing(places []place) float64 {
	energy, contrast := make([]float64, len(places)), make([]float64, len(places))
	for i, p := range places {
		energy[i], contrast[i] = r.moment(r.index(p.at))
	}
	return median(energy) * median(contrast) * r.middle(places)
}

// middle says how much counts where a pattern moves: see central.
func (r *coarseMotion) middle(places []place) float64 {
	if r.said {
		return 1
	}
	p := r.pattern(places)
	x, weight := 0.0, 0.0
	for _, row := range p.rows {
		for i, v := range row {
			x += float64(v*v) * (float64(p.cells[i]%r.cols) + 0.5) / float64(r.cols)
			weight += float64(v * v)
		}
	}
	return central(x / weight)
}
