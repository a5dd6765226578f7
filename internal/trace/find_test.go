package trace

import (
	"math"
	"testing"

	"tenoff/internal/demo"
)

// Every rep of a small generated film is found and sure, nothing is lost silently,
// and one marked release brings the others to within a frame.
func TestFindAndTransferOnGeneratedFilms(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		o    demo.Options
	}{
		{"tripod", demo.Options{Seed: 71}},
		{"hand-held, noisy", demo.Options{Seed: 72, Handheld: 4, Noise: 5}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			c.o.Pace, c.o.Rest, c.o.Reps = demo.FPS(30, 1), 5, pitches(6)
			s := newSession(t, c.name, c.o)
			got := s.compare(Find(s.motion, s.sound))
			if got.sure+got.asked != got.reps || got.silent != 0 {
				t.Errorf("%d reps: %d sure, %d asked about, %d lost silently", got.reps, got.sure, got.asked, got.silent)
			}
			if got.false_ != 0 {
				t.Errorf("%d are sure and are no reps", got.false_)
			}
			first := s.truth.Clock.FileSeconds(s.truth.Reps[0].Release.Frame)
			after := s.compare(Transfer(s.motion, s.sound, []float64{first}))
			mark := first - s.truth.Reps[0].Release.Seconds
			for i, e := range after.errors {
				if math.Abs(e-mark) > 1.0/30 {
					t.Errorf("release %d is %.0f ms off although one was marked", i+1, 1000*(e-mark))
				}
			}
		})
	}
}
