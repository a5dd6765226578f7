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
			if c.o.Handheld > 0 {
				releasesBetweenFrames(t, s)
			}
		})
	}
}

// releasesBetweenFrames marks every release of s to its frame: the marks count, and
// beside them the motion says where between two frames each of them is.
func releasesBetweenFrames(t *testing.T, s session) {
	t.Helper()
	var marks, off []float64
	for _, r := range s.truth.Reps {
		marks = append(marks, s.truth.Clock.FileSeconds(r.Release.Frame))
	}
	f := Transfer(s.motion, s.sound, marks)
	for i, k := range s.compare(f).hit {
		if k < 0 {
			t.Errorf("release %d is marked and not found", i+1)
			continue
		}
		c := f.Candidates[k]
		if c.Release != marks[i] {
			t.Errorf("release %d is marked at %g s, said to be at %g", i+1, marks[i], c.Release)
		}
		off = append(off, c.Found-s.truth.Reps[i].Release.Seconds)
	}
	// A frame of 1/30 s alone scatters by 1/30/sqrt(12) = 9.6 ms.
	if sd := spreadOf(off); !(sd < 0.004) {
		t.Errorf("releases are found with an SD of %.1f ms", 1000*sd)
	}
}

// Into a net nobody is heard catching, though a soft thud follows every pitch: all are asked
// about until one is marked, and with it all are sure.
func TestIntoANetNothingIsSureWithoutAMark(t *testing.T) {
	t.Parallel()
	s := newSession(t, "net", demo.Options{
		Seed: 76005, Reps: []demo.RepSpec{{}, {}, {}, {}, {}, {}}, Rest: 4.8, Pace: demo.FPS(30, 1), Handheld: 4, Noise: 5, Sound: demo.Sound{Net: true},
	})
	f := Find(s.motion, s.sound)
	heard := 0
	for _, c := range f.Candidates {
		if c.Reason == MotionAndPop {
			heard++
		}
	}
	if heard < 4 {
		t.Fatalf("only %d thuds are heard: this shows nothing", heard)
	}
	if got := s.compare(f); got.sure > 0 || got.asked != got.reps {
		t.Errorf("of %d pitches into a net %d are sure, %d asked about", got.reps, got.sure, got.asked)
	}
	mark := s.truth.Clock.FileSeconds(s.truth.Reps[0].Release.Frame)
	if got := s.compare(Transfer(s.motion, s.sound, []float64{mark})); got.sure != got.reps {
		t.Errorf("of %d pitches into a net, one of them marked, %d are sure", got.reps, got.sure)
	}
}
