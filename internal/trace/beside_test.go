package trace

import (
	"math"
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
