package bullpen

import (
	"math"
	"testing"
)

// Frame 1 of six shows frame 0 again and frame 3 was left out before 4: pictures 1 to 3
// are a step late against the others, half a step against the middle.
func TestCadence(t *testing.T) {
	k := Cadence{Step: float64(float32(1.0 / 30)), Every: 6, Repeats: 1, Skips: 4}
	c := Clock{Num: 1, Den: 240, Slow: 8} // 30 real frames a second, eight times slowed
	for i := range int64(12) {
		c.Ticks = append(c.Ticks, 64*i)
	}
	const m = 0.5 / 30 // pictures that are not late come this much early against the middle
	for i, want := range []struct {
		late    float64 // steps
		picture int     // which the frame shows
		first   int     // frame that shows it
	}{{-0.5, 0, 0}, {0.5, 0, 0}, {0.5, 1, 2}, {0.5, 2, 3}, {-0.5, 4, 4}, {-0.5, 5, 5}, {-0.5, 6, 6}, {0.5, 6, 6}, {0.5, 7, 8}} {
		s := c.RealSeconds(0, i)
		if got := k.Late(s) * 30; math.Abs(got-want.late) > 1e-6 {
			t.Errorf("frame %d: %.3f steps late, want %.1f", i, got, want.late)
		}
		taken := float64(want.picture)/30 + m
		if got := k.Taken(s); math.Abs(got-taken) > 1e-7 {
			t.Errorf("frame %d was taken at %.4f, want %.4f", i, got, taken)
		}
		for _, off := range []float64{-0.4, 0, 0.4} {
			if got := k.Frame(c, taken+off/30); got != want.first {
				t.Errorf("%.1f frames from picture %d: frame %d, want %d", off, want.picture, got, want.first)
			}
			if got := c.At((k.Shown(taken+off/30) + 0.5/30) * 8); got != want.first {
				t.Errorf("%.1f frames from picture %d: shown at %d, want %d", off, want.picture, got, want.first)
			}
		}
	}
	none := Cadence{}
	if got := none.Late(3); got != 0 {
		t.Errorf("a film without a cadence is %.3f s late", got)
	}
	if got := none.Shown(3); got != 3 {
		t.Errorf("a film without a cadence shows at %.3f what was taken at 3", got)
	}
	for at, want := range map[float64]int{-1: 0, 0: 0, 0.49: 0, 0.51: 1, 4.4: 4, 11.2: 11, 99: 11} {
		if got := none.Frame(c, at/30); got != want {
			t.Errorf("without a cadence, %.2f frames: frame %d, want %d", at, got, want)
		}
	}
}
