package tempo

import (
	"math"
	"testing"
)

// A body's time runs on whatever its two paces are, meets both ends, and its pace is
// the slope of its seconds.
func TestWarp(t *testing.T) {
	ref := Instants{Drive: -0.56, Plant: -0.11, Top: -0.13, Release: 0}
	for _, w := range []timeMap{
		even(1.1), bent(ref, 1, 1), bent(ref, 1, 1.7), bent(ref, 1.15, 1.15), bent(ref, 0.9, 0.5), bent(ref, 1, 9), bent(ref, 1, 0.01),
	} {
		const h = 1e-6
		for u := -0.8; u < 0.15; u += 0.0101 {
			slope := (w.seconds(u+h) - w.seconds(u-h)) / (2 * h)
			if !(slope > 0) || math.Abs(slope-w.pace(u)) > 1e-3 {
				t.Errorf("%+v at %.3f: pace %.4f, slope %.4f", w, u, w.pace(u), slope)
			}
			if back := w.own(w.seconds(u)); math.Abs(back-u) > 1e-6 {
				t.Errorf("%+v: %.4f came back as %.4f", w, u, back)
			}
		}
		if before, after := w.seconds(-0.11)-w.seconds(-0.56), w.seconds(0)-w.seconds(-0.11); math.Abs(before-0.45*w.before) > 1e-9 || math.Abs(after-0.11*w.after) > 1e-9 {
			t.Errorf("%+v: %.4f s to the plant, %.4f s on to the release", w, before, after)
		}
	}
	if w := bent(ref, 1, 9); w.after != mostBend {
		t.Errorf("a pace of 9 after the plant is taken for %.2f", w.after)
	}
}

// A circle that the body carried two cells to the right is found there.
func TestTrackCarries(t *testing.T) {
	ref := Instants{Drive: -0.56, Plant: -0.11, Top: -0.13, Release: 0}
	x := make(track, int(math.Round((tempTo-tempFrom)*tempRate))+1)
	for k := range x {
		x[k] = 20 * (tempFrom + float64(k)/tempRate) // 20 cells a second
	}
	// The release comes 0.185 s after the plant, not 0.11 s, and the arm is 1.15 times
	// slower: its top, 0.1495 s before it, is 0.0355 s after the plant.
	legs := bent(ref, 1, 0.185/0.11)
	got := x.carried([]float64{ref.Top, ref.Release}, even(1.15), legs, ref.Release, 0.185)
	if want := 20 * (legs.own(0.0355) - ref.Top); math.Abs(got[0]-want) > 0.01 || want < 0.7 {
		t.Errorf("at the top carried %.3f cells, want %.3f", got[0], want)
	}
	if math.Abs(got[1]) > 0.01 {
		t.Errorf("at the release carried %.3f cells, want none", got[1])
	}
}
