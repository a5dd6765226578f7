package trace

import (
	"math"
	"testing"
)

// Where a phone steadies itself by whole pixels, the picture steps now and then and next
// to nothing is new in between: no frame of that is a repeat. Of frames as still among
// moving ones without a step each is.
func TestStepsAreNoRepeats(t *testing.T) {
	share := func(step float32) float64 {
		m := &Motion{Cols: 32, Rows: 18, Slow: 1}
		var novelty []float32
		var spans []int
		for i := range 90 {
			energy, moved, fresh := 30.0, float32(0), float32(2)
			if i%3 != 0 {
				energy, moved, fresh = 700, step, 12
			}
			cells := make([]float32, 32*18)
			for c := 100; c < 110; c++ {
				cells[c] = float32(math.Sqrt(energy / 10))
			}
			m.Times = append(m.Times, float64(i)/30)
			m.Shifts = append(m.Shifts, Shift{X: moved, Lag: 1.0 / 30})
			m.packed = pack(m.packed, cells)
			m.ends = append(m.ends, len(m.packed))
			novelty, spans = append(novelty, fresh), append(spans, 1)
		}
		mendRepeatedFrames(m, novelty, spans)
		return m.DoubledShare()
	}
	if s := share(0.25); s > 0 {
		t.Errorf("%.2f of the frames between a camera's steps are called repeats", s)
	}
	if s := share(0); s < 0.3 {
		t.Errorf("only %.2f of the frames are called repeats, a third are", s)
	}
}
