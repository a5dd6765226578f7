package trust

import (
	"fmt"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// history is everything thrown of one pitch, in the order thrown.
type history struct {
	judged   []judged // with a verdict
	called   []judged // strike or ball
	before   []int    // full pitches thrown before each called one, called or not
	thrown   int      // full pitches, called or not
	bullpens []string // in which it was thrown
	told     []told   // bullpens that tell of the body
}

// told is what a bullpen tells of the body.
type told struct {
	bullpenID string
	verdict   tempo.Verdict
}

func historyOf(p bullpen.Pitch, sessions []Session) history {
	var h history
	for _, s := range byDay(sessions) {
		full := s.full(p)
		if len(full) > 0 {
			h.bullpens = append(h.bullpens, s.Bullpen.ID)
		}
		if c, ok := s.check(p); ok && c.Verdict != tempo.CantTell {
			h.told = append(h.told, told{s.Bullpen.ID, c.Verdict})
		}
		for _, j := range full {
			if j.numbers.Verdict != bullpen.Pending {
				h.judged = append(h.judged, j)
			}
			if j.rep.Call != bullpen.NoCall {
				h.called, h.before = append(h.called, j), append(h.before, h.thrown)
			}
			h.thrown++
		}
	}
	return h
}

// last returns the last n, or all for 0.
func last[T any](all []T, n int) []T {
	if n > 0 && len(all) > n {
		return all[len(all)-n:]
	}
	return all
}

// answer holds one line against the history.
func (h history) answer(l Line) LineAnswer {
	a := LineAnswer{Line: l, Text: l.String(), Made: []string{}, Broke: []string{}}
	switch l.Kind {
	case InBand:
		reps := last(h.judged, l.Of)
		a.sort(reps, func(j judged) bool { return j.numbers.Verdict == bullpen.InBand })
		a.Met = float64(len(a.Made)) >= l.Need
		a.Have = fmt.Sprintf("%d of %d in the band%s", len(a.Made), len(reps), soFar(len(reps), l.Of))
	case Strikes:
		reps := last(h.called, l.Of)
		a.sort(reps, func(j judged) bool { return j.rep.Call == bullpen.Strike })
		a.Have = "no pitch is called strike or ball"
		if n := len(reps); n > 0 {
			a.Met = n >= l.Of && float64(100*len(a.Made)) >= l.Need*float64(n)
			a.Have = fmt.Sprintf("%d of %d called pitches were strikes (%s)%s%s", len(a.Made), n, bullpen.Percent(100*float64(len(a.Made))/float64(n)), soFar(n, l.Of), h.uncalled(l.Of))
		}
	case Bullpens:
		a.Made = append(a.Made, h.bullpens...)
		a.Met = float64(len(a.Made)) >= l.Need
		a.Have = fmt.Sprintf("thrown in %d", len(a.Made))
	case Spread:
		h.spread(l, &a)
	case SameBody:
		h.sameBody(l, &a)
	}
	return a
}

// uncalled says how many full pitches a share of strikes in the last of called ones, or
// in all for 0, knows nothing of: of the last, those thrown since the first of them.
func (h history) uncalled(of int) string {
	called, thrown := last(h.before, of), h.thrown
	if of > 0 {
		thrown -= called[0]
	}
	switch n := thrown - len(called); {
	case n == 1:
		return fmt.Sprintf("; 1 of the %d full pitches thrown was not called", thrown)
	case n > 1:
		return fmt.Sprintf("; %d of the %d full pitches thrown were not called", n, thrown)
	}
	return ""
}

// sameBody answers a line on the body: made by the bullpens in which it was the
// same, broken by those in which legs or arm slowed down.
func (h history) sameBody(l Line, a *LineAnswer) {
	pens := last(h.told, l.Of)
	for _, t := range pens {
		if t.verdict == tempo.SameBody {
			a.Made = append(a.Made, t.bullpenID)
		} else {
			a.Broke = append(a.Broke, t.bullpenID)
		}
	}
	a.Met = float64(len(a.Made)) >= l.Need
	a.Have = "no bullpen's film tells yet"
	if len(pens) > 0 {
		a.Have = fmt.Sprintf("same body in %d of %d%s", len(a.Made), len(pens), soFar(len(pens), l.Of))
	}
}

// spread answers a line on the spread of the gaps: broken by the reps that lie
// further from the mean than the line allows, made by the others.
func (h history) spread(l Line, a *LineAnswer) {
	reps := last(h.judged, l.Of)
	gaps := make([]float64, len(reps))
	for i, j := range reps {
		gaps[i] = float64(j.numbers.Gap.MPH)
	}
	s := bullpen.SampleOf(gaps)
	a.sort(reps, func(j judged) bool {
		off := float64(j.numbers.Gap.MPH) - s.Mean
		return off <= l.Need && off >= -l.Need
	})
	a.Have = "fewer than two gaps"
	if s.N > 1 {
		a.Met = s.N >= l.Of && s.SD <= l.Need
		a.Have = fmt.Sprintf("%.1f mph over %d%s", s.SD, s.N, soFar(s.N, l.Of))
	}
}

// sort shares the reps out among those that made the line and those that broke it.
func (a *LineAnswer) sort(reps []judged, made func(judged) bool) {
	for _, j := range reps {
		if made(j) {
			a.Made = append(a.Made, j.rep.ID)
		} else {
			a.Broke = append(a.Broke, j.rep.ID)
		}
	}
}

// soFar says that there are fewer than asked for.
func soFar(have, of int) string {
	if have < of {
		return " so far"
	}
	return ""
}
