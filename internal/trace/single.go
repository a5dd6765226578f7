package trace

import (
	"math"
	"slices"
)

// A single delivery stands out of what else a short film shows.
const (
	singleOut  = 4.0  // times the film's median energy, at least
	singleOver = 1.5  // times the next highest burst, to be sure of it
	singleLead = 0.02 // real seconds from the greatest energy to the release: rough
	singleSD   = 0.060
)

// single proposes the burst that stands out most of a film whose deliveries do
// not repeat. It is never sure of it without a pop.
func (r *reel) single(m *Motion, sound *Sound, bursts []int) []Candidate {
	if len(bursts) == 0 {
		return nil
	}
	best, next := bursts[0], 0.0
	for _, k := range bursts[1:] {
		if r.energy[k] > r.energy[best] {
			best = k
		}
	}
	for _, k := range bursts {
		if k != best {
			next = max(next, r.energy[k])
		}
	}
	usual := median(slices.Clone(r.energy))
	if r.energy[best] < singleOut*usual {
		return nil
	}
	release := r.second(best) + singleLead
	c := Candidate{Release: release * m.Slow, Spread: singleSD * m.Slow, Pop: math.NaN()}
	c.From, c.To = c.Release-spanBefore*m.Slow, c.Release+spanAfter*m.Slow
	out := []Candidate{c}
	hear(out, sound, m.Slow, popRough)
	out[0].Confidence = 0.5
	if out[0].Reason == MotionAndPop && r.energy[best] > singleOver*next {
		out[0].Sure, out[0].Confidence = true, 0.8
	}
	return out
}
