package trace

import (
	"context"
	"math"
	"testing"

	"tenoff/internal/demo"
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
	take, err := demo.Plan(o)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	width, height := 160, 90
	if o.Portrait {
		width, height = 90, 160
	}
	s := session{name: name, truth: take.Truth()}
	meter := NewMeter(width, height, s.truth.Clock.Slow)
	err = take.Gray(context.Background(), width, height, func(_ int, seconds float64, pixels []byte) error {
		meter.Add(pixels, seconds)
		return nil
	})
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	s.motion = meter.Motion()
	if pcm := take.Sound(24000); pcm != nil {
		ear := NewEar(24000, s.truth.Clock.Slow)
		ear.Add(pcm)
		s.sound = ear.Sound()
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
