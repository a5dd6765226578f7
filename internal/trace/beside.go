package trace

import (
	"math"
	"slices"
)

// Film is what was seen and heard on one film, and the releases that are marked on it,
// in file seconds. Where a program repeats frames and leaves others out in a steady
// cadence, they are those at which the frames are shown.
type Film struct {
	Motion *Motion
	Sound  *Sound // nil for none
	Marked []float64
}

// What of other films is looked at beside a film.
const (
	amongBefore = 2.0  // real seconds before a mark
	amongAfter  = 1.2  // and after it
	amongStill  = 2.5  // real seconds of stillness between two films
	amongLike   = 0.60 // likeness of a film's best rep to those marked elsewhere, at least
)

// MostBeside is how many marks of other films are looked at beside a film, the first ones.
const MostBeside = 8

// FindBeside looks for a film's reps like Find, or like Transfer where some are marked on it.
// Where none is, the releases marked on other films of the same pitcher, taken from the
// same place, say which motion is the delivery and when the ball leaves the hand; unless
// the film turns out to show nothing like it.
func FindBeside(film Film, others []Film) Finding {
	taken, cadence := film.asTaken()
	besides := make([]Film, len(others))
	for i, o := range others {
		besides[i], _ = o.asTaken()
	}
	f := findBeside(taken, besides)
	if cadence.Every > 0 {
		f.show(cadence, film, taken.Marked)
	}
	return f
}

// show puts what was found by when pictures were taken where the film shows them. A mark
// stays on its own frame, which may show a picture for the second time. When a release was
// found stays as it was taken, and a pop as it is heard.
func (f *Finding) show(cadence Cadence, film Film, takenMarks []float64) {
	slow := film.Motion.SlowFactor()
	shown := func(at float64) float64 {
		return min(max(cadence.Shown(at/slow)*slow, 0), film.Motion.End)
	}
	const same = 1e-6 // seconds: a mark that went through other units
	for i := range f.Candidates {
		c := &f.Candidates[i]
		c.From, c.To = shown(c.From), shown(c.To)
		k := slices.IndexFunc(takenMarks, func(at float64) bool { return math.Abs(at-c.Release) < same })
		if k >= 0 {
			c.Release = film.Marked[k]
		} else {
			c.Release = shown(c.Release)
		}
	}
	for _, spans := range [][]Span{f.Unexplained, f.Walks} {
		for i, s := range spans {
			spans[i] = Span{shown(s.From), shown(s.To)}
		}
	}
}

// asTaken is the film with everything at the times when its pictures were taken, and the
// cadence that was taken out.
func (f Film) asTaken() (Film, Cadence) {
	motion, cadence := f.Motion.AsTaken()
	seen := *motion
	seen.outOfStep = !cadence.Regular
	slow := f.Motion.SlowFactor()
	marked := make([]float64, len(f.Marked))
	for i, at := range f.Marked {
		marked[i] = cadence.Taken(at/slow) * slow
	}
	return Film{Motion: &seen, Sound: f.Sound, Marked: marked}, cadence
}

func findBeside(film Film, others []Film) Finding {
	own := steadily(film.Motion, film.Sound, film.Marked)
	if len(film.Marked) > 0 || own.Slowed > 1 || film.Motion.Len() < 2 {
		return own
	}
	s := newSplice(film)
	for _, o := range others {
		if o.Motion.Cols == film.Motion.Cols && o.Motion.Rows == film.Motion.Rows {
			s.addMarked(o)
		}
	}
	if len(s.marked) == 0 {
		return own
	}
	both := find(&s.motion, film.Sound, s.marked)
	out := Finding{Box: own.Box, Slowed: 1, Beside: true}
	best := 0.0
	for _, c := range both.Candidates {
		if c.Release <= film.Motion.End {
			c.To = min(c.To, film.Motion.End)
			best = max(best, c.Likeness)
			out.Candidates = append(out.Candidates, c)
		}
	}
	if best < amongLike {
		return own
	}
	out.Unexplained, out.Walks = before(both.Unexplained, film.Motion.End), before(both.Walks, film.Motion.End)
	return out
}

// before returns what of spans lies before an end.
func before(spans []Span, end float64) []Span {
	var out []Span
	for _, s := range spans {
		if s.From < end {
			out = append(out, Span{s.From, min(s.To, end)})
		}
	}
	return out
}

// joinedFilm is a film and, behind it, what other films show round their marks, each out of
// stillness; all in the film's own seconds. Only what was mended by what nobody knows counts
// as mended in it: each film's frames repeat in a step of their own, or in none.
type joinedFilm struct {
	motion Motion
	marked []float64
}

func newSplice(f Film) *joinedFilm {
	m := *f.Motion
	m.Times, m.Shifts = slices.Clone(m.Times), slices.Clone(m.Shifts)
	m.Doubled = make([]bool, f.Motion.Len())
	if m.outOfStep {
		copy(m.Doubled, f.Motion.Doubled)
	}
	m.packed, m.ends = slices.Clone(m.packed), slices.Clone(m.ends)
	m.Said = true // it was looked at by itself
	return &joinedFilm{motion: m}
}

// addMarked adds what film o shows round its marks.
func (s *joinedFilm) addMarked(o Film) {
	cells := make([]float32, o.Motion.Cols*o.Motion.Rows)
	s.motion.outOfStep = s.motion.outOfStep || o.Motion.outOfStep
	for _, at := range o.Marked {
		if len(s.marked) == MostBeside {
			return
		}
		lo, hi := o.Motion.At(at-amongBefore*o.Motion.Slow), o.Motion.At(at+amongAfter*o.Motion.Slow)
		if hi <= lo {
			continue
		}
		slow := s.motion.Slow / o.Motion.Slow
		begin := s.motion.End + amongStill*s.motion.Slow
		clear(cells)
		s.put(s.motion.End+0.2*s.motion.Slow, cells, Shift{}, false)
		s.put(begin-0.2*s.motion.Slow, cells, Shift{}, false)
		for i := lo; i <= hi; i++ {
			cells = o.Motion.Cells(i, cells)
			shift := o.Motion.Shifts[i]
			shift.Lag *= float32(slow)
			s.put(begin+(o.Motion.Times[i]-o.Motion.Times[lo])*slow, cells, shift, o.Motion.outOfStep && o.Motion.Doubled[i])
		}
		s.marked = append(s.marked, begin+(at-o.Motion.Times[lo])*slow)
	}
}

// put adds a sample.
func (s *joinedFilm) put(at float64, cells []float32, shift Shift, mended bool) {
	m := &s.motion
	m.Times, m.Shifts, m.Doubled = append(m.Times, at), append(m.Shifts, shift), append(m.Doubled, mended)
	m.packed = pack(m.packed, cells)
	m.ends = append(m.ends, len(m.packed))
	m.End = math.Max(m.End, at)
}
