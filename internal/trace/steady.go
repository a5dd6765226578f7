package trace

import (
	"math"
	"slices"

	"tenoff/internal/align"
	"tenoff/internal/bullpen"
)

// farPan is how far, in gray pixels, a camera may follow her before her deliveries lie too
// far apart in the picture to be laid over one another as they are.
const farPan = 40.0

// steadied is the film as a camera that stands as in its middle would show it, by whole
// cells; the film itself, and false, where the camera hardly went anywhere.
func (m *Motion) steadied() (*Motion, bool) {
	n := m.Len()
	if n < 2 || m.inside != nil {
		return m, false
	}
	x, y := make([]float64, n), make([]float64, n)
	for i := 1; i < n; i++ {
		dx, dy := m.scene(i)
		x[i], y[i] = x[i-1]+dx, y[i-1]+dy
	}
	if slices.Max(x)-slices.Min(x) < farPan && slices.Max(y)-slices.Min(y) < farPan {
		return m, false
	}
	out := *m
	out.Shifts = slices.Clone(m.Shifts)
	out.packed, out.ends = nil, nil
	// What the moving by whole cells leaves is the camera's own movement still.
	rest := func(path []float64, i int) (cells, left float64) {
		cells = math.Round((path[i] - path[n/2]) / cellSide)
		return cells, path[i] - path[n/2] - cells*cellSide
	}
	var fine []float32
	for i := range n {
		cx, left := rest(x, i)
		cy, low := rest(y, i)
		fine = m.Cells(i, fine)
		out.packed = pack(out.packed, align.Moved(fine, m.Cols, m.Rows, cx, cy))
		out.ends = append(out.ends, len(out.packed))
		if s := &out.Shifts[i]; i > 0 && s.Lag > 0 {
			_, leftBefore := rest(x, i-1)
			_, lowBefore := rest(y, i-1)
			share := (m.Times[i] - m.Times[i-1]) / float64(s.Lag)
			s.X, s.Y = float32(-(left-leftBefore)/share), float32(-(low-lowBefore)/share)
		}
	}
	return &out, true
}

// steadily looks for reps in the film as a camera that stands still would show it.
func steadily(motion *Motion, sound *Sound, marked []float64) Finding {
	steady, moved := motion.steadied()
	f := find(steady, sound, marked)
	if moved {
		f.Box = bullpen.Box{} // she is elsewhere in each delivery
	}
	return f
}
