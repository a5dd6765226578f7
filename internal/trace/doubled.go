package trace

import "slices"

// A repeated frame shows next to nothing new where the frames around it move:
// phones' own films have none, re-timed ones have many (one of every six in a
// 25 to 30 conversion).
const (
	doubledShare  = 0.05 // of its neighbours' energy at most, and
	doubledNew    = 0.25 // of its neighbours' difference from the frame just before
	doubledMotion = 100  // the neighbours' median energy at least, else nothing moves
	neighbours    = 7
)

// mend flags the samples that were measured on a repeated frame and replaces
// their cells by what lies between the nearest good samples. novelty is how
// unlike each sample's frame is to the one just before it, spans how many frames
// each sample reaches back.
func mend(m *Motion, novelty []float32, spans []int) {
	n := m.Len()
	m.Doubled = make([]bool, n)
	energy := m.Energy()
	found := false
	var near, nearNew []float64
	for i := range n {
		lo, hi := max(0, i-neighbours/2), min(n, i+neighbours/2+1)
		near, nearNew = near[:0], nearNew[:0]
		for k := lo; k < hi; k++ {
			near = append(near, energy[k])
			nearNew = append(nearNew, float64(novelty[k]))
		}
		usual, usualNew := median(near), median(nearNew)
		if usual <= doubledMotion {
			continue
		}
		// A body that turns back stands still for an instant too, but the noise of
		// the picture is new even then.
		if float64(novelty[i]) >= doubledNew*usualNew || spans[i] == 1 && energy[i] >= doubledShare*usual {
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

// interpolate replaces the cells of doubled samples.
func (m *Motion) interpolate() {
	old := *m
	m.packed, m.ends = make([]byte, 0, len(old.packed)), make([]int, 0, len(old.ends))
	var before, after, cells []float32
	for i := range old.Len() {
		lo, hi := i, i
		for lo >= 0 && old.Doubled[lo] {
			lo--
		}
		for hi < old.Len() && old.Doubled[hi] {
			hi++
		}
		cells = old.Cells(i, cells)
		if lo != i && lo >= 0 && hi < old.Len() {
			before, after = old.Cells(lo, before), old.Cells(hi, after)
			w := float32((old.Times[i] - old.Times[lo]) / (old.Times[hi] - old.Times[lo]))
			for k := range cells {
				cells[k] = before[k] + w*(after[k]-before[k])
			}
		}
		m.packed = pack(m.packed, cells)
		m.ends = append(m.ends, len(m.packed))
	}
}

// median returns the middle of v, which it sorts; 0 for none.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	if k := len(v) / 2; len(v)%2 == 1 {
		return v[k]
	} else {
		return (v[k-1] + v[k]) / 2
	}
}
