package trace

import (
	"math"
	"slices"
)

// Kin are bursts whose motion is alike.
const (
	kinMost  = 80   // bursts that are compared
	kinShift = 12   // samples that two bursts are slid against each other
	kinStep  = 2    // samples
	kinLeast = 0.40 // likeness of two bursts that may be the same motion
	kinShare = 0.70 // of the likeness of the best burst to its kin
)

// firstPattern makes the first pattern from bursts: the burst that has the most kin and
// those kin, laid over it. It is nil when no two bursts are alike.
func (r *coarseMotion) firstPattern(bursts []int) *pattern {
	bursts = thin(bursts, kinMost)
	n := len(bursts)
	if n < 2 {
		return nil
	}
	like, shift := r.kinships(bursts)
	k := min(max(n/3, 3), 8, n-1)
	best, most := 0, 0.0
	for i := range n {
		others := slices.Clone(like[i])
		slices.Sort(others)
		mean := 0.0
		for _, v := range others[n-k:] {
			mean += v / float64(k)
		}
		if mean > most {
			best, most = i, mean
		}
	}
	least := max(kinLeast, kinShare*most)
	places := []place{{at: r.second(bursts[best]), stretch: 1}}
	for j := range n {
		if j != best && like[best][j] > least {
			places = append(places, place{at: r.second(bursts[j] + shift[best][j]), stretch: 1})
		}
	}
	if len(places) < 2 {
		return nil
	}
	return r.pattern(places)
}

// kinships returns how alike every two bursts are, at the best shift of the
// second in samples, and that shift.
func (r *coarseMotion) kinships(bursts []int) (like [][]float64, shift [][]int) {
	n := len(bursts)
	excerpts := make([][][]float32, n)
	for i, k := range bursts {
		for d := -kinShift; d <= kinShift; d += kinStep {
			excerpts[i] = append(excerpts[i], r.excerpt(k+d))
		}
	}
	like, shift = make([][]float64, n), make([][]int, n)
	for i := range n {
		like[i], shift[i] = make([]float64, n), make([]int, n)
	}
	for i := range n {
		own := excerpts[i][kinShift/kinStep]
		for j := i + 1; j < n; j++ {
			for s, other := range excerpts[j] {
				if c := float64(dot(own, other)); c > like[i][j] {
					like[i][j], shift[i][j] = c, s*kinStep-kinShift
				}
			}
			like[j][i], shift[j][i] = like[i][j], -shift[i][j]
		}
	}
	return like, shift
}

// excerpt returns the motion about sample k, every second sample, each cell's
// mean over it taken off, scaled to length 1.
func (r *coarseMotion) excerpt(k int) []float32 {
	const every = 2
	var rows [][]float32
	for j := k - patternLead; j <= k+patternTail; j += every {
		rows = append(rows, slices.Clone(r.cells[min(max(j, 0), len(r.cells)-1)]))
	}
	scale := float32(1 / math.Sqrt(centre(rows)+1e-9))
	out := make([]float32, 0, len(rows)*len(rows[0]))
	for _, row := range rows {
		for _, v := range row {
			out = append(out, v*scale)
		}
	}
	return out
}

func dot(a, b []float32) float32 {
	b = b[:len(a)]
	var sum float32
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}
