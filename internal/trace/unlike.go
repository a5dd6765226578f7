package trace

import (
	"math"
	"slices"
)

// What makes a candidate sure that nobody marked a rep of. That a motion recurs does
// not: people shovel, swim and skip. It must have the course of a delivery, out of
// stillness and soon over, and the film's pops must come after it as a caught ball's do.
const (
	courseLeast  = 0.85 // likeness to the course of a delivery
	vouchedShare = 0.6  // of the candidates that a pop follows at their common time, and
	vouchedBy    = 0.02 // the probability that as many do by chance, at most
)

// doubtUnlikeDeliveries leaves sure what also looks and sounds like a delivery. cells are those of the
// picture in which the candidates move, nil for all.
func (r *coarseMotion) doubtUnlikeDeliveries(cs []Candidate, m *Motion, cells []int, sound *Sound) {
	heard := caught(cs, sound, m.Slow)
	t := r.tideOf(cells, m.Cols)
	for i := range cs {
		if c := &cs[i]; !heard || r.asDelivery(t, c.Release/m.Slow) < courseLeast {
			c.doubt()
		}
	}
}

// doubtSmallBody asks about all candidates, of a pitcher who is so small in the picture that
// her releases can't be told.
func doubtSmallBody(cs []Candidate, slow float64) {
	for i := range cs {
		cs[i].doubt()
		cs[i].Spread = smallSD * slow
	}
}

// caught reports whether pops follow the candidates as they follow pitches that are
// caught: most of them, at much the same time, and more than other sounds as loud would
// by chance. A thud as soft as a net's, or as a shovelful's, tells of no glove: what is
// thrown into a net is sure once one of it is marked.
func caught(cs []Candidate, sound *Sound, slow float64) bool {
	var lags, peaks []float64
	n := 0
	for _, c := range cs {
		if c.Likeness < askLikeness {
			continue
		}
		n++
		if math.IsNaN(c.Pop) {
			continue
		}
		k, _ := sound.between(c.Pop, c.Pop+1e-6)
		if sound.Onsets[k].Z <= singleLoud {
			continue
		}
		lags = append(lags, (c.Pop-c.Release)/slow)
		peaks = append(peaks, float64(sound.Onsets[k].Peak))
	}
	if len(lags) == 0 || !(sound.End > 0) {
		return false
	}
	usual, near := median(slices.Clone(lags)), 0
	for _, l := range lags {
		if math.Abs(l-usual) <= lagAround {
			near++
		}
	}
	if float64(near) < vouchedShare*float64(n) {
		return false
	}
	faintest, loud := percentile(peaks, 0.25), 0.0
	for _, o := range sound.Onsets {
		if float64(o.Peak) >= faintest {
			loud++
		}
	}
	// The pops themselves are no chance.
	rate := max(loud-float64(near), 1) / (sound.End / slow)
	windows := (popLatest - popEarliest) / (2 * lagAround)
	return windows*atLeast(near, n, -math.Expm1(-rate*2*lagAround)) < vouchedBy
}

// atLeast is the probability of k or more of n that each come with probability p.
func atLeast(k, n int, p float64) float64 {
	sum := 0.0
	for i := k; i <= n; i++ {
		log := float64(i)*math.Log(p) + float64(n-i)*math.Log1p(-p)
		for j := 1; j <= i; j++ {
			log += math.Log(float64(n-i+j) / float64(j))
		}
		sum += math.Exp(log)
	}
	return sum
}
