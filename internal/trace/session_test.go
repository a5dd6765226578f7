package trace

import (
	"context"
	"encoding"
	"fmt"
	"math"
	"testing"

	"tenoff/internal/demo"
	"tenoff/internal/demo/demotest"
)

// session is one generated film as the traces see it.
type session struct {
	name   string
	truth  demo.Truth
	motion *Motion
	sound  *Sound
}

// newSession draws and listens to a generated bullpen.
func newSession(t testing.TB, name string, o demo.Options) session {
	t.Helper()
	return filmed(t, name, o, true)
}

// filmed draws and listens to a generated bullpen, whose film is declared to be slowed as it
// is, or not at all.
func filmed(t testing.TB, name string, o demo.Options, declared bool) session {
	t.Helper()
	take, err := demo.Plan(o)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	s := session{name: name, truth: take.Truth(), motion: new(Motion)}
	slow, as := s.truth.Clock.Slow, "declared"
	if !declared {
		slow, as = 1, "undeclared"
	}
	width, height := 160, 90
	if o.Portrait {
		width, height = 90, 160
	}
	keep := func(what string, into encoding.BinaryUnmarshaler, measure func() (encoding.BinaryMarshaler, error)) {
		t.Helper()
		stored, err := demotest.Kept(*filmsKeep, fmt.Sprintf("v%d.%s.%s", Version, as, what), o, func() ([]byte, error) {
			got, err := measure()
			if err != nil {
				return nil, err
			}
			return got.MarshalBinary()
		})
		if err == nil {
			err = into.UnmarshalBinary(stored)
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
	}
	keep("motion", s.motion, func() (encoding.BinaryMarshaler, error) {
		meter := NewMeter(width, height, slow)
		err := take.Gray(context.Background(), width, height, func(_ int, seconds float64, pixels []byte) error {
			meter.Add(pixels, seconds)
			return nil
		})
		return meter.Motion(), err
	})
	if !o.Sound.Off {
		s.sound = new(Sound)
		keep("sound", s.sound, func() (encoding.BinaryMarshaler, error) {
			ear := NewEar(24000, slow)
			ear.Add(take.Sound(24000))
			return ear.Sound(), nil
		})
	}
	return s
}

// found is how a finding stands against the truth.
type found struct {
	reps     int
	hit      []int     // of each rep: the candidate's index, -1 for none
	sure     int       // reps found that are sure
	asked    int       // reps found that are asked about
	silent   int       // reps that are neither a candidate nor unexplained motion
	false_   int       // candidates that are no rep and no mimic, sure
	ask_     int       // the same, asked about
	mimics   int       // mimics found, sure
	errors   []float64 // release proposals, real seconds late
	likeness []float64
	pops     int // reps found whose pop is the right one
	wrong    int // and another's
}

func (s session) compare(f Finding) found {
	slow := s.truth.Clock.Slow
	out := found{reps: len(s.truth.Reps), hit: make([]int, len(s.truth.Reps))}
	used := make([]bool, len(f.Candidates))
	nearest := func(real float64) int {
		best := -1
		for k, c := range f.Candidates {
			if d := math.Abs(c.Release/slow - real); d < 0.35 && (best < 0 || d < math.Abs(f.Candidates[best].Release/slow-real)) {
				best = k
			}
		}
		return best
	}
	for i, r := range s.truth.Reps {
		k := nearest(r.Release.Seconds)
		out.hit[i] = k
		if k < 0 {
			seen := false
			for _, u := range f.Unexplained {
				seen = seen || u.From/slow-0.3 <= r.Release.Seconds && r.Release.Seconds <= u.To/slow+0.3
			}
			if !seen {
				out.silent++
			}
			continue
		}
		used[k] = true
		c := f.Candidates[k]
		out.errors = append(out.errors, c.Release/slow-r.Release.Seconds)
		out.likeness = append(out.likeness, c.Likeness)
		if d := c.Pop/slow - r.Pop; r.Popped && math.Abs(d) < 0.03 {
			out.pops++
		} else if !math.IsNaN(c.Pop) {
			out.wrong++
		}
		if c.Sure {
			out.sure++
		} else {
			out.asked++
		}
	}
	for _, d := range s.truth.Decoys {
		if k := nearest(d.Seconds); d.Kind == "mimic" && k >= 0 && !used[k] {
			used[k] = true
			if f.Candidates[k].Sure {
				out.mimics++
			}
		}
	}
	for k, c := range f.Candidates {
		if !used[k] && c.Sure {
			out.false_++
		} else if !used[k] {
			out.ask_++
		}
	}
	return out
}

func pitches(n int) []demo.RepSpec {
	return demo.Series(n-n/2, n/2, demo.Same, 1)
}
