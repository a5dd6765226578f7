package trace

import (
	"context"
	"fmt"
	"math"
	"slices"
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

// What a conversion that takes the nearest frame writes has the gap right behind the repeat
// or before it: one of the two samples that reach back over it has the repeat in it as well.
// All releases are surely found from any one mark, to within a frame.
func TestGapBesideItsRepeatAt60(t *testing.T) {
	t.Parallel()
	o := demo.Options{Seed: 6602, Reps: pitches(4), Rest: 4.57, Pace: demo.FPS(60, 1), Handheld: 3, Noise: 4, Sound: demo.Sound{Off: true}}
	for _, c := range []struct {
		pictures       []int // that a cycle's frames show
		repeats, skips int
	}{
		{[]int{0, 1, 2, 2, 4, 5}, 3, 4},
		{[]int{0, 1, 2, 3, 5, 5}, 5, 4},
		{[]int{0, 1, 1, 3, 4}, 2, 3},
	} {
		t.Run(fmt.Sprint(c.pictures), func(t *testing.T) {
			t.Parallel()
			s := retimed(t, o, c.pictures)
			cadence := s.motion.Cadence()
			if cadence.Every != len(c.pictures) || cadence.Repeats != c.repeats || cadence.Skips != c.skips {
				t.Fatalf("it is said: %+v", cadence)
			}
			frame := s.truth.Clock.RealSeconds(0, 1)
			for m, marked := range s.truth.Reps {
				mark := s.truth.Clock.FileSeconds(marked.Release.Frame)
				f := Transfer(s.motion, nil, []float64{mark})
				for i, k := range s.compare(f).hit {
					if k < 0 {
						t.Errorf("rep %d is lost", i+1)
						continue
					}
					off := f.Candidates[k].Found - s.truth.Reps[i].Release.Seconds - (cadence.Taken(mark) - marked.Release.Seconds)
					if !f.Candidates[k].Sure || !(math.Abs(off) <= frame) {
						t.Errorf("release %d is found from release %d %.0f ms off, sure: %v", i+1, m+1, 1000*off, f.Candidates[k].Sure)
					}
				}
			}
		})
	}
}

// One frame of twenty-four shown twice fills a phase of twelve, half of whose cycles are
// whole: they must not be put a step off. Nobody knows such a film's cadence.
func TestALongCadenceIsNoShortOne(t *testing.T) {
	t.Parallel()
	pictures := make([]int, 24)
	for i := range pictures {
		pictures[i] = i
		if i < 8 { // frame 1 repeats frame 0, and picture 7 is left out
			pictures[i] = max(i-1, 0)
		}
	}
	s := retimed(t, demo.Options{Seed: 6602, Reps: pitches(4), Rest: 4.57, Pace: demo.FPS(30, 1), Handheld: 3, Noise: 4, Sound: demo.Sound{Off: true}}, pictures)
	if share := s.motion.DoubledShare(); share < Retimed {
		t.Fatalf("only %.3f of the frames are seen to be repeats", share)
	}
	if c := s.motion.Cadence(); c.Every != 0 || c.Regular {
		t.Errorf("it is said: %+v", c)
	}
}

// retimed is a generated film as a program leaves it whose frames show these of as many
// pictures, cycle by cycle.
func retimed(t *testing.T, o demo.Options, pictures []int) session {
	t.Helper()
	take, err := demo.Plan(o)
	if err != nil {
		t.Fatal(err)
	}
	s := session{truth: take.Truth()}
	const width, height = 160, 90
	meter, cycle := NewMeter(width, height, 1), make([][]byte, len(pictures))
	err = take.Gray(context.Background(), width, height, func(n int, _ float64, pixels []byte) error {
		k := n % len(pictures)
		cycle[k] = slices.Clone(pixels)
		if k < len(pictures)-1 {
			return nil
		}
		for i, p := range pictures {
			meter.Add(cycle[p], s.truth.Clock.FileSeconds(n-k+i))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	s.motion = meter.Motion()
	return s
}

// A cadence whose gap nothing can be held against is not known: of every fourth frame
// repeated, each sample over two frames has a repeat or a gap in it.
func TestGapThatNothingTellsIsNotKnown(t *testing.T) {
	c := Cadence{reach: 2}
	c.Every = 4
	if found, known := c.gap(new(Motion), nil); found || known {
		t.Errorf("a gap is found: %v, known: %v", found, known)
	}
	c = Cadence{reach: 1}
	c.Every, c.Step = 6, 1.0/30
	if found, known := c.gap(new(Motion), nil); found || known {
		t.Errorf("in a film without a sample that moves, a gap is found: %v, known: %v", found, known)
	}
}
