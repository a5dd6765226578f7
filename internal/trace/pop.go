package trace

import "math"

// A pop is looked for among the onsets that follow the release. The times are
// real seconds and hold for 20 ft to 60 ft and 25 to 80 mph, the sound's own way
// to the phone included.
const (
	popEarliest = 0.30
	popLatest   = 1.15
	popSpread   = 0.035 // real seconds: the spread of one film's times of flight about a common one
	popRough    = 0.080 // and that while the releases are rough
	popCommon   = 1.5   // natural logarithms of amplitude that the commonest time is worth
)

// pops returns the onset that is probably the glove's pop of each release (file
// seconds), its index in sound.Onsets, or -1. Deliveries of one film take much
// the same time to the glove; of several onsets the one that is loud and comes at
// a time common to other reps is taken. spreads are popSpread for each release that is known
// and popRough for each that is rough; two of them are held against one another by both.
func pops(sound *Sound, releases []float64, slow float64, spreads []float64) []int {
	out := make([]int, len(releases))
	type onset struct {
		rep, index int
		lag, loud  float64
	}
	var all []onset
	for i, r := range releases {
		out[i] = -1
		if sound == nil {
			continue
		}
		first, last := sound.between(r+popEarliest*slow, r+popLatest*slow)
		for k := first; k < last; k++ {
			o := sound.Onsets[k]
			all = append(all, onset{i, k, (o.Time - r) / slow, float64(o.Peak)})
		}
	}
	best := make([]float64, len(releases))
	for _, a := range all {
		common := 0.0
		for _, b := range all {
			if b.rep != a.rep {
				spread := (sq(spreads[a.rep]) + sq(spreads[b.rep])) / 2
				common += math.Exp(-sq(a.lag-b.lag)/spread/2) / float64(len(releases))
			}
		}
		score := a.loud + popCommon*math.Log(common+0.05)
		if out[a.rep] < 0 || score > best[a.rep] {
			out[a.rep], best[a.rep] = a.index, score
		}
	}
	return out
}
