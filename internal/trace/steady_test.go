package trace

import (
	"math"
	"testing"

	"tenoff/internal/demo"
)

// A camera that goes slowly by half the picture's width loses no rep, before a mark and
// after one.
func TestSmoothPanLosesNoRep(t *testing.T) {
	t.Parallel()
	s := newSession(t, "pan", demo.Options{Seed: 6501, Reps: pitches(6), Rest: 4.5, Noise: 4, Handheld: 2, Pace: demo.FPS(30, 1), Pan: 320})
	if got := s.compare(Find(s.motion, s.sound)); got.sure != got.reps || got.false_ > 0 {
		t.Errorf("%d reps: %d sure, %d asked about; sure besides: %d", got.reps, got.sure, got.asked, got.false_)
	}
	mark := s.truth.Clock.FileSeconds(s.truth.Reps[0].Release.Frame)
	f := Transfer(s.motion, s.sound, []float64{mark})
	for i, k := range s.compare(f).hit {
		if k < 0 {
			t.Errorf("rep %d is lost once another is marked", i+1)
			continue
		}
		off := f.Candidates[k].Release - s.truth.Reps[i].Release.Seconds - (mark - s.truth.Reps[0].Release.Seconds)
		if math.Abs(off) > 1.0/30 {
			t.Errorf("release %d is %.0f ms off", i+1, 1000*off)
		}
	}
	if !f.Box.None() {
		t.Errorf("she is said to stand in one place of the picture: %+v", f.Box)
	}
}
