package tempo

import (
	"math"
	"testing"
)

// Frame 1 of six shows frame 0 again and frame 3 was left out before 4: pictures 1 to 3
// are a step late against the others, half a step against the middle.
func TestCadenceLate(t *testing.T) {
	c := cadence{step: 1.0 / 30, every: 6, repeats: 1, skips: 4}
	for k, want := range []float64{-0.5, 0.5, 0.5, 0.5, -0.5, -0.5, -0.5, 0.5} {
		if got := c.late(float64(k)/30) * 30; math.Abs(got-want) > 1e-9 {
			t.Errorf("frame %d: %.3f steps late, want %.1f", k, got, want)
		}
	}
	if got := (cadence{}).late(3); got != 0 {
		t.Errorf("a film without a cadence is %.3f s late", got)
	}
}
