package trace

import (
	"cmp"
	"math"
	"slices"
)

// Bursts are the moments of most motion.
const (
	burstApart = 1.5  // real seconds between them
	burstShare = 0.30 // of the 90th percentile of all peaks, at least
	burstMost  = 80   // are learnt from
)

// bursts returns the reel's peaks of energy, in order.
func (r *coarseMotion) bursts() []int {
	all := peaks(r.energy, burstApart*reelRate)
	heights := make([]float64, len(all))
	for i, k := range all {
		heights[i] = r.energy[k]
	}
	least := burstShare * percentile(heights, 0.90)
	return slices.DeleteFunc(all, func(k int) bool { return r.energy[k] < least || r.energy[k] <= 0 })
}

// peaks returns the local maxima of v that are greatest within apart samples to
// either side, in order.
func peaks(v []float64, apart float64) []int {
	var tops []int
	for i := range v {
		if (i == 0 || v[i] > v[i-1]) && (i == len(v)-1 || v[i] >= v[i+1]) {
			tops = append(tops, i)
		}
	}
	byHeight := slices.Clone(tops)
	slices.SortStableFunc(byHeight, func(a, b int) int { return cmp.Compare(v[b], v[a]) })
	var kept []int
	for _, i := range byHeight {
		at, _ := slices.BinarySearch(kept, i)
		if at > 0 && float64(i-kept[at-1]) < apart || at < len(kept) && float64(kept[at]-i) < apart {
			continue
		}
		kept = slices.Insert(kept, at, i)
	}
	return kept
}

// thin keeps at most n of v, evenly spread.
func thin(v []int, n int) []int {
	if len(v) <= n {
		return v
	}
	out := make([]int, n)
	for i := range out {
		out[i] = v[int(math.Round(float64(i)*float64(len(v)-1)/float64(n-1)))]
	}
	return out
}
