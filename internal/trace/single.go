package trace

import (
	"math"
	"slices"

	"tenoff/internal/bullpen"
)

// A single delivery stands out of what else a short film shows.
const (
	singleOut  = 3.0 // times the film's quiet fifth, at least
	singleSure = 6.0 // times the stillness before and after it, to be sure of it
	singleOver = 1.5 // times the next burst's standing, to be sure of it
	singleLoud = 8.0 // standard deviations of its pop, to be sure of it
	singleLuck = 0.1 // at most this probable that a sound as loud falls by chance where a pop is looked for, to be sure of it
	singleSD   = 0.06
	singleFew  = 3 // places: a pattern that recurs no oftener may be chance
)

// mostLikeADelivery returns the one of bursts that looks most like a delivery, if it
// stands out of the film at all.
func (r *coarseMotion) mostLikeADelivery(bursts []int) (best int, ok bool) {
	most := 0.0
	for _, k := range bursts {
		if s := r.standing(r.alone(k)); s > most {
			best, most = k, s
		}
	}
	return best, most > 0 && r.energy[best] >= singleOut*percentile(r.energy, 0.20)
}

// alone returns sample k as a pattern of one place.
func (r *coarseMotion) alone(k int) []place {
	return []place{{at: r.second(k), stretch: 1, likeness: 1}}
}

// beatsPattern reports whether burst one is to be proposed beside, and before, the
// candidates of a pattern: there is nothing sure among them, or the pattern
// recurs hardly ever and looks less like a delivery.
func (r *coarseMotion) beatsPattern(one int, places []place, cs []Candidate) bool {
	if !slices.ContainsFunc(cs, func(c Candidate) bool { return c.Sure }) {
		return true
	}
	return len(places) <= singleFew && r.standing(r.alone(one)) > r.standing(places)
}

// single proposes burst one of a film whose deliveries do not repeat, and says
// where in the picture it is. It is never
// sure of it without a pop.
func (r *coarseMotion) single(m *Motion, sound *Sound, one int, bursts []int) (Candidate, bullpen.Box) {
	study := newStudy(m, r.alone(one))
	out := []Candidate{newCandidate(study.roughReleases()[0], singleSD, m.Slow)}
	givePops(out, sound, m.Slow, []float64{popRough})
	out[0].Confidence = 0.4
	_, outOfStillness := r.moment(one)
	most, next := r.standing(r.alone(one)), 0.0
	for _, k := range bursts {
		if k != one {
			next = max(next, r.standing(r.alone(k)))
		}
	}
	if study.model.small() {
		out[0].Spread = smallSD * m.Slow
	} else if out[0].Reason == MotionAndPop && outOfStillness > singleSure && most > singleOver*next &&
		slices.ContainsFunc(sound.Onsets, func(o Onset) bool {
			return o.Time == out[0].Pop && o.Z > singleLoud && sound.byChance(o, m.Slow) <= singleLuck
		}) &&
		r.asDelivery(r.tideOf(study.model.cells, m.Cols), out[0].Release/m.Slow) >= courseLeast {
		out[0].Sure, out[0].Confidence = true, 0.8
	}
	return out[0], study.model.box(m.Rows)
}

// byChance is the probability that a sound as loud as pop falls where a pop is looked for,
// by how many others the film has.
func (s *Sound) byChance(pop Onset, slow float64) float64 {
	others := -1.0 // the pop itself
	for _, o := range s.Onsets {
		if o.Peak >= pop.Peak {
			others++
		}
	}
	return -math.Expm1(-others / (s.End / slow) * (popLatest - popEarliest))
}

// moment returns the energy at sample k, and how many times that is what moves
// when the pitcher is set before and has finished after.
func (r *coarseMotion) moment(k int) (energy, outOfStillness float64) {
	return r.energy[k], contrast(r.energy, k, 1)
}

// contrast returns how many times as much moves at sample k as when the pitcher is set
// before and has finished after, in a film that plays times slower.
func contrast(energy []float64, k int, times float64) float64 {
	before, after := int(times*reelRate), int(times*reelRate*4/5)
	still := (energy[max(0, k-before)] + energy[min(len(energy)-1, k+after)]) / 2
	return energy[k] / max(still, 1)
}

// newCandidate returns a candidate with its release at a real second, its span,
// and no pop.
func newCandidate(release, spread, slow float64) Candidate {
	return Candidate{
		From: (release - spanBefore) * slow, To: (release + spanAfter) * slow,
		Release: release * slow, Spread: spread * slow, Found: math.NaN(),
		Reason: MotionOnly, Pop: math.NaN(),
	}
}
