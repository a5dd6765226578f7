package trace

import (
	"math"
	"slices"
	"testing"

	"tenoff/internal/demo"
)

// cutOut is what a film shows between two of its seconds, as a film of its own.
func (s session) cutOut(from, to float64) Film {
	m := &Motion{Cols: s.motion.Cols, Rows: s.motion.Rows, Slow: s.motion.Slow, End: to - from}
	var cells []float32
	for i, at := range s.motion.Times {
		if half := float64(s.motion.Shifts[i].Lag) / 2; at-half < from || at+half > to {
			continue
		}
		cells = s.motion.Cells(i, cells)
		m.Times, m.Shifts, m.Doubled = append(m.Times, at-from), append(m.Shifts, s.motion.Shifts[i]), append(m.Doubled, s.motion.Doubled[i])
		m.packed = pack(m.packed, cells)
		m.ends = append(m.ends, len(m.packed))
	}
	sound := &Sound{End: to - from}
	for _, o := range s.sound.Onsets {
		if o.Time >= from && o.Time < to {
			o.Time -= from
			sound.Onsets = append(sound.Onsets, o)
		}
	}
	return Film{Motion: m, Sound: sound}
}

// One film per pitch, trimmed close: each pitch is proposed, near its release; one mark on
// the first film brings the others' to within a frame and makes them sure.
func TestOneFilmPerPitch(t *testing.T) {
	t.Parallel()
	s := newSession(t, "trimmed", demo.Options{Seed: 85, Reps: pitches(4), Rest: 4.6, Pace: demo.FPS(30, 1), Handheld: 3, Noise: 4})
	const frame = 1.0 / 30
	for _, c := range []struct {
		name          string
		before, after float64
	}{{"0.8 s", 0.6, 0.2}, {"1 s", 0.8, 0.2}, {"2.1 s", 1.5, 0.6}} {
		film := func(r demo.RepTruth) Film { return s.cutOut(r.Release.Seconds-c.before, r.Release.Seconds+c.after) }
		first := film(s.truth.Reps[0])
		mark := math.Round(c.before/frame) * frame
		first.Marked = []float64{mark}
		for i, r := range s.truth.Reps {
			f := FindBeside(film(r), nil)
			if len(f.Candidates) != 1 || math.Abs(f.Candidates[0].Release-c.before) > 3*frame {
				t.Errorf("%s, pitch %d: %+v, too short: %v", c.name, i+1, f.Candidates, f.TooShort)
			}
			if c.after < 0.3 && len(f.Candidates) > 0 && f.Candidates[0].Sure {
				t.Errorf("%s, pitch %d: sure without having seen a stillness", c.name, i+1)
			}
			if i == 0 {
				continue
			}
			f = FindBeside(film(r), []Film{first})
			if len(f.Candidates) != 1 || !f.Beside || !f.Candidates[0].Sure || math.Abs(f.Candidates[0].Release-mark) > frame {
				t.Errorf("%s, pitch %d beside a marked one: %+v", c.name, i+1, f.Candidates)
			}
		}
	}
	// What follows the pitch is no pitch, and less than a second of it tells nothing.
	r := s.truth.Reps[0].Release.Seconds
	if f := FindBeside(s.cutOut(r+0.9, r+2.2), []Film{{Motion: s.motion, Marked: []float64{r}}}); len(f.Candidates) > 0 && f.Candidates[0].Sure {
		t.Errorf("sure of a pitch after it: %+v", f.Candidates)
	}
}

// A mark on a film that was mended where nobody knows what was left out says which motion
// is the delivery, but not to between frames when the others' ball leaves.
func TestAMarkOnAMendedFilmFindsNothingSurely(t *testing.T) {
	t.Parallel()
	s := newSession(t, "mended", demo.Options{Seed: 85, Reps: pitches(2), Rest: 4.6, Pace: demo.FPS(30, 1), Handheld: 3, Noise: 4})
	const before, after = 1.5, 0.6
	film := func(k int) Film {
		r := s.truth.Reps[k].Release.Seconds
		return s.cutOut(r-before, r+after)
	}
	for _, mended := range []bool{false, true} {
		other := film(0)
		other.Marked = []float64{math.Round(before*30) / 30}
		if mended { // two frames of some sixty are repeated, in no step
			at := other.Motion.At(before)
			other.Motion.Doubled[at-1], other.Motion.Doubled[at+1] = true, true
		}
		f := FindBeside(film(1), []Film{other})
		if len(f.Candidates) != 1 || !f.Beside || !f.Candidates[0].Sure || math.IsNaN(f.Candidates[0].Found) != mended {
			t.Errorf("mended: %v, %+v", mended, f.Candidates)
		}
	}
}

// A mark on a frame that shows a picture for the second time stays there, and everything
// else that is said of a re-timed film is where it is shown: as wide as on the film as it
// was taken, or a frame more or less.
func TestAMarkOnARepeatedFrameStays(t *testing.T) {
	t.Parallel()
	const frame = 1.0 / 30
	s := newSession(t, "re-timed", demo.Options{Seed: 87, Reps: pitches(4), Rest: 4.57, Pace: demo.FPS(30, 1), Doubled: 6, Handheld: 3, Noise: 4})
	cadence := s.motion.Cadence()
	if cadence.Every != 6 {
		t.Fatalf("of every sixth frame doubled it is said: %+v", cadence)
	}
	// The repeated frame nearest to the first release.
	n := s.truth.Reps[0].Release.Frame
	for off := 0; n%cadence.Every != cadence.Repeats; off++ {
		n = s.truth.Reps[0].Release.Frame + (off+1)/2*(1-off%2*2)
	}
	mark := s.truth.Clock.FileSeconds(n)
	if shown := cadence.Shown(cadence.Taken(mark)); math.Abs(shown-(mark-frame)) > 1e-3 {
		t.Fatalf("frame %d does not repeat the one before: its picture is first shown at %g s, and it is at %g", n, shown, mark)
	}
	f := Transfer(s.motion, s.sound, []float64{mark})
	if !slices.ContainsFunc(f.Candidates, func(c Candidate) bool { return c.Release == mark }) {
		t.Errorf("marked at %g s: %+v", mark, f.Candidates)
	}
	for _, c := range f.Candidates {
		if math.Abs(c.Release-c.From-spanBefore) > 2*frame || math.Abs(c.To-c.Release-spanAfter) > 2*frame {
			t.Errorf("released at %g s, from %g to %g", c.Release, c.From, c.To)
		}
	}
}
