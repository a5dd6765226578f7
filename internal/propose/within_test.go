package propose

import (
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// What is found to so many milliseconds is sure at rates whose frames are wider than that,
// and of other rates it is said within how many frames. A slowed film's frames count by when
// they were taken.
func TestSureMeansWithinAFrame(t *testing.T) {
	film := func(fps int64, slow float64) bullpen.Clock {
		c := bullpen.Clock{Num: 1, Den: 90000, Slow: slow}
		for i := range int64(100) {
			c.Ticks = append(c.Ticks, i*90000/fps*int64(max(slow, 1)))
		}
		return c
	}
	for _, tt := range []struct {
		clock  bullpen.Clock
		spread float64
		want   int
	}{
		{film(30, 1), 0.004, 1}, {film(60, 1), 0.004, 1},
		{film(120, 1), 0.0025, 1}, {film(120, 1), 0.004, 2},
		{film(240, 1), 0.0015, 1}, {film(240, 1), 0.0025, 2}, {film(240, 1), 0.004, 3},
		{film(240, 8), 0.0025, 2},
	} {
		if got := Within(tt.clock, 0.2, tt.spread); got != tt.want {
			t.Errorf("a frame every %.1f ms, a spread of %.1f ms: within %d frames, want %d", 1000*GapAt(tt.clock, 0.2), 1000*tt.spread, got, tt.want)
		}
	}
	for e, want := range map[bullpen.Event][3]int{bullpen.Drive: {1, 2, 5}, bullpen.Plant: {1, 1, 4}, bullpen.Top: {1, 1, 4}, bullpen.Release: {1, 1, 4}} {
		for k, fps := range []int64{30, 60, 240} {
			if got := Within(film(fps, 1), 0.2, tempo.FoundSpread(e)); got != want[k] {
				t.Errorf("%s at %d frames a second: within %d, want %d", e, fps, got, want[k])
			}
		}
	}
}
