package trace

import "math"

// A repeated frame shows next to nothing new where the frames before and after it
// move: phones' own films have none, re-timed ones have many, one of every six or
// even two of every three.
const (
	doubledShare  = 0.12 // of the energy on both its sides at most, and
	doubledNew    = 0.30 // of the difference from the frame just before on both its sides
	doubledMotion = 100  // energy on both sides at least, else nothing moves
	doubledReach  = 3    // samples to either side
	doubledStep   = 3500 // energy that a camera's step of a gray pixel leaves in the picture, about
)

// mend flags the samples that were measured on a repeated frame and replaces
// their cells by what lies between the nearest good samples. novelty is how
// unlike each sample's frame is to the one just before it, spans how many frames
// each sample reaches back.
func mendRepeatedFrames(m *Motion, novelty []float32, spans []int) {
	n := m.Len()
	m.Doubled = make([]bool, n)
	energy := m.Energy()
	found := false
	for i := range n {
		around := sides(energy, i)
		// A hand that holds still but for a step now and then, as a phone that steadies
		// itself by whole pixels lets it look, shows nothing new between two steps.
		if around <= doubledMotion+doubledStep*m.steps(i) || novelty[i] >= doubledNew*sides(novelty, i) {
			continue
		}
		// A body that turns back stands still for an instant too, but the noise of
		// the picture is new even then. Where a sample reaches back over several
		// frames, a repeated one takes only a part of its energy.
		if spans[i] == 1 && energy[i] >= doubledShare*around {
			continue
		}
		// Every sample that spans the repeated frame lacks one step of motion.
		for k := i; k < n && k < i+spans[i]; k++ {
			m.Doubled[k], found = true, true
		}
	}
	if found {
		m.interpolate()
	}
}

// steps returns how far, in gray pixels, the camera moved at most in the samples about i
// beyond what it did in i itself.
func (m *Motion) steps(i int) float64 {
	most := 0.0
	length := func(s Shift) float64 { return math.Hypot(float64(s.X), float64(s.Y)) }
	for k := max(i-doubledReach, 0); k <= min(i+doubledReach, m.Len()-1); k++ {
		most = max(most, length(m.Shifts[k]))
	}
	return most - length(m.Shifts[i])
}

// sides returns the lesser of the greatest values before and after v[i], a few
// samples around; 0 at the ends.
func sides[T float32 | float64](v []T, i int) T {
	var before, after T
	for k := 1; k <= doubledReach; k++ {
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
