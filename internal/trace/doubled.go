package trace

import (
	"math"
	"slices"
)

// A repeated frame shows next to nothing new where the frames before and after it
// move: phones' own films have none, re-timed ones have many, one of every six or
// even two of every three.
const (
	doubledShare  = 0.12 // of the energy on both its sides at most, and
	doubledNew    = 0.30 // of the difference from the frame just before on both its sides
	doubledMotion = 100  // energy on both sides at least, else nothing moves
	doubledReach  = 3    // times what a sample reaches back over, to either side
	usualReach    = 15   // samples to either side that say how many pictures one usually reaches back over
	doubledStep   = 3500 // energy that a camera's step of a gray pixel leaves in the picture, about
)

// mendRepeatedFrames flags the samples that show less motion than the others because of a
// repeated frame and replaces their cells by what lies between the nearest good samples.
// novelty is how unlike each sample's frame is to the one just before it, spans how many
// frames each sample reaches back.
//
// A film of 30 pictures a second that plays at 60 shows each of them twice: every sample
// reaches back over two frames and one picture, and all are whole. What lacks one is told
// by what is usual around it.
func mendRepeatedFrames(m *Motion, novelty []float32, spans []int) {
	n := m.Len()
	m.Doubled = make([]bool, n)
	moves, repeats := repeatedFrames(m, novelty, spans)
	pictures := make([]int, n) // that each sample reaches back over
	for i := range n {
		pictures[i] = spans[i]
		for k := max(i-spans[i]+1, 0); k <= i; k++ {
			if repeats[k] {
				pictures[i]--
			}
		}
	}
	found := false
	for i := range n {
		if pictures[i] < spans[i] && pictures[i] < usualPictures(pictures, moves, i) {
			m.Doubled[i], found = true, true
		}
	}
	if found {
		m.interpolate()
	}
}

// usualPictures returns how many pictures the samples about i reach back over where
// something moves: the median, one at least.
func usualPictures(pictures []int, moves []bool, i int) int {
	var near []int
	for k := max(i-usualReach, 0); k <= min(i+usualReach, len(pictures)-1); k++ {
		if moves[k] {
			near = append(near, pictures[k])
		}
	}
	if len(near) == 0 {
		return 1
	}
	slices.Sort(near)
	return max(near[len(near)/2], 1)
}

// repeatedFrames tells of each sample whether enough moves about it to know a repeated
// frame by, and whether its frame is the one just before it again.
func repeatedFrames(m *Motion, novelty []float32, spans []int) (moves, repeats []bool) {
	energy := m.Energy()
	moves, repeats = make([]bool, m.Len()), make([]bool, m.Len())
	for i := range repeats {
		reach := doubledReach * spans[i]
		around := sides(energy, i, reach)
		// A hand that holds still but for a step now and then, as a phone that steadies
		// itself by whole pixels lets it look, shows nothing new between two steps.
		moves[i] = around > doubledMotion+doubledStep*m.steps(i, reach)
		if !moves[i] || novelty[i] >= doubledNew*sides(novelty, i, reach) {
			continue
		}
		// A body that turns back stands still for an instant too, but the noise of
		// the picture is new even then. Where a sample reaches back over several
		// frames, a repeated one takes only a part of its energy.
		if spans[i] == 1 && energy[i] >= doubledShare*around {
			continue
		}
		repeats[i] = true
	}
	return moves, repeats
}

// steps returns how far, in gray pixels, the camera moved at most in the samples about i,
// so many to either side, beyond what it did in i itself.
func (m *Motion) steps(i, reach int) float64 {
	most := 0.0
	length := func(s Shift) float64 { return math.Hypot(float64(s.X), float64(s.Y)) }
	for k := max(i-reach, 0); k <= min(i+reach, m.Len()-1); k++ {
		most = max(most, length(m.Shifts[k]))
	}
	return most - length(m.Shifts[i])
}

// sides returns the lesser of the greatest values before and after v[i], so many samples to
// either side; 0 at the ends.
func sides[T float32 | float64](v []T, i, reach int) T {
	var before, after T
	for k := 1; k <= reach; k++ {
		if i-k >= 0 {
			before = max(before, v[i-k])
		}
		if i+k < len(v) {
			after = max(after, v[i+k])
		}
	}
	return min(before, after)
}

// interpolate replaces the cells of doubled samples.
func (m *Motion) interpolate() {
	old := *m
	m.packed, m.ends = make([]byte, 0, len(old.packed)), make([]int, 0, len(old.ends))
	var before, after, cells []float32
	lo := -1 // the last good sample
	for i := range old.Len() {
		cells = old.Cells(i, cells)
		if !old.Doubled[i] {
			lo = i
		} else if lo >= 0 {
			hi := i
			for hi < old.Len() && old.Doubled[hi] {
				hi++
			}
			if hi < old.Len() {
				before, after = old.Cells(lo, before), old.Cells(hi, after)
				w := float32((old.Times[i] - old.Times[lo]) / (old.Times[hi] - old.Times[lo]))
				for k := range cells {
					cells[k] = before[k] + w*(after[k]-before[k])
				}
			}
		}
		m.packed = pack(m.packed, cells)
		m.ends = append(m.ends, len(m.packed))
	}
}
