package trace

import (
	"math"
	"testing"

	"tenoff/internal/demo"
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

// Of a film at 60 frames a second, whose samples each reach back over two of them, every
// eighth shown twice and another left out, the cadence is known, and is not taken for one of
// four: all releases are surely found from one mark, to within a frame.
func TestFramesRepeatedInStepAt60(t *testing.T) {
	t.Parallel()
	s := newSession(t, "re-timed", demo.Options{Seed: 6602, Reps: pitches(4), Rest: 4.57, Pace: demo.FPS(60, 1), Doubled: 8, Handheld: 3, Noise: 4, Sound: demo.Sound{Off: true}})
	cadence := s.motion.Cadence()
	if cadence.Every != 8 || cadence.Repeats != 1 || cadence.Skips != 5 {
		t.Fatalf("of every eighth frame doubled it is said: %+v", cadence)
	}
	frame, marked := s.truth.Clock.RealSeconds(0, 1), s.truth.Reps[0].Release
	mark := s.truth.Clock.FileSeconds(marked.Frame)
	f := Transfer(s.motion, nil, []float64{mark})
	for i, k := range s.compare(f).hit {
		if k < 0 {
			t.Errorf("rep %d is lost", i+1)
			continue
		}
		off := f.Candidates[k].Found - s.truth.Reps[i].Release.Seconds - (cadence.Taken(mark) - marked.Seconds)
		if !f.Candidates[k].Sure || !(math.Abs(off) <= frame) {
			t.Errorf("release %d is found %.0f ms off, sure: %v", i+1, 1000*off, f.Candidates[k].Sure)
		}
	}
}

// A cadence whose gap nothing can be held against is not known: of every fourth frame
// repeated, each sample over two frames has a repeat or a gap in it.
func TestGapThatNothingTellsIsNotKnown(t *testing.T) {
	c := Cadence{reach: 2}
	c.Every = 4
	if found, known := c.gap(new(Motion)); found || known {
		t.Errorf("a gap is found: %v, known: %v", found, known)
	}
}
