package trust

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// history is everything thrown of one pitch, in the order thrown.
type history struct {
	judged   []Pitched // with a verdict
	called   []Pitched // strike or ball
	before   []int     // full pitches thrown before each called one, called or not
	thrown   int       // full pitches, called or not
	bullpens []string  // in which it was thrown
	told     []told    // bullpens that tell of the body
	seen     []Pitched // reps that do
}

// told is what a bullpen tells of the body.
type told struct {
	bullpenID string
	verdict   tempo.Verdict
}

func historyOf(p bullpen.Pitch, weeks []Week) history {
	var h history
	for _, w := range byDay(weeks) {
		f, _ := w.of(p)
		if len(f.Thrown) > 0 {
			h.bullpens = append(h.bullpens, w.BullpenID)
		}
		if f.Body != nil && f.Body.Verdict != tempo.CantTell {
			h.told = append(h.told, told{w.BullpenID, f.Body.Verdict})
		}
		for _, one := range f.Thrown {
			if one.Verdict != bullpen.Pending {
				h.judged = append(h.judged, one)
			}
			if one.Body != "" && one.Body != tempo.CantTell {
				h.seen = append(h.seen, one)
			}
			if one.Call != bullpen.NoCall {
				h.called, h.before = append(h.called, one), append(h.before, h.thrown)
			}
			h.thrown++
		}
	}
	return h
}

// set is a stretch of what was thrown that a line is read at.
type set struct {
	from, to int  // indices, to excluded
	full     bool // it has as many as the line asks for
	since    int  // how many came after it: they wait until they are a set
}

// lastSet returns the last full set of n among as many as there are, counted from the
// first: 1 to n, n+1 to 2n and so on. A rule that were read after every rep would be met
// at some moment by luck: "8 of the last 10" within 60 reps by 57 of 100 pitchers who hit
// half of theirs, and read at the end of the last set by 5. n 0 is all of them.
func lastSet(have, n int) set {
	if n == 0 {
		return set{0, have, true, 0}
	}
	full := have / n * n
	if full == 0 {
		return set{0, have, false, 0}
	}
	return set{full - n, full, true, have - full}
}

// waits says how many came after the set, "" for none.
func (s set) waits(of int) string {
	if s.since == 0 {
		return ""
	}
	if s.since == 1 {
		return fmt.Sprintf("; 1 since then counts once there are %d", of)
	}
	return fmt.Sprintf("; %d since then count once there are %d", s.since, of)
}

// likely says where a share lies in the long run, k of n seen.
func likely(k, n int) string {
	share := bullpen.Wilson(k, n, 0.95)
	return fmt.Sprintf("likely %s to %s in the long run", strings.TrimSuffix(bullpen.Percent(100*share.Lo), " %"), bullpen.Percent(100*share.Hi))
}

// answer holds one line against the history.
func (h history) answer(l Line) LineAnswer {
	a := LineAnswer{Line: l, Text: l.String(), Made: []string{}, Broke: []string{}}
	switch l.Kind {
	case InBand:
		s := lastSet(len(h.judged), l.Of)
		reps := h.judged[s.from:s.to]
		a.sort(reps, func(j Pitched) bool { return j.Verdict == bullpen.InBand })
		a.Met = s.full && float64(len(a.Made)) >= l.Need
		a.Have = "no rep has a verdict yet"
		if n := len(reps); n > 0 {
			a.Have = fmt.Sprintf("%d of %d in the band%s (%s)%s", len(a.Made), n, soFar(s), likely(len(a.Made), n), s.waits(l.Of))
		}
	case Strikes:
		s := lastSet(len(h.called), l.Of)
		reps := h.called[s.from:s.to]
		a.sort(reps, func(j Pitched) bool { return j.Call == bullpen.Strike })
		a.Have = "no pitch is called strike or ball yet"
		if n := len(reps); n > 0 {
			a.Met = s.full && float64(100*len(a.Made)) >= l.Need*float64(n)
			a.Have = fmt.Sprintf("%d of %d called pitches were strikes%s (%s, %s)%s%s", len(a.Made), n, soFar(s),
				bullpen.Percent(100*float64(len(a.Made))/float64(n)), likely(len(a.Made), n), h.uncalled(s, l.Of), s.waits(l.Of))
		}
	case Bullpens:
		a.Made = append(a.Made, h.bullpens...)
		a.Met = float64(len(a.Made)) >= l.Need
		a.Have = "not thrown yet"
		if n := len(a.Made); n > 0 {
			a.Have = fmt.Sprintf("thrown in %d", n)
		}
	case Spread:
		h.spread(l, &a)
	case SameBody:
		h.sameBody(l, &a)
	case SameReps:
		s := lastSet(len(h.seen), l.Of)
		reps := h.seen[s.from:s.to]
		a.sort(reps, func(j Pitched) bool { return j.Body == tempo.SameBody })
		a.Met = s.full && float64(len(a.Made)) >= l.Need
		a.Have = "no rep's film tells yet"
		if n := len(reps); n > 0 {
			a.Have = fmt.Sprintf("same body in %d of %d%s (%s)%s", len(a.Made), n, soFar(s), likely(len(a.Made), n), s.waits(l.Of))
		}
	}
	return a
}

// uncalled says how many full pitches a share of strikes in a set of called ones knows
// nothing of: of all for 0, else those thrown from the first of them to the next set.
func (h history) uncalled(s set, of int) string {
	thrown := h.thrown
	if s.to < len(h.before) {
		thrown = h.before[s.to]
	}
	if of > 0 {
		thrown -= h.before[s.from]
	}
	switch n := thrown - (s.to - s.from); {
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
	s := lastSet(len(h.told), l.Of)
	pens := h.told[s.from:s.to]
	for _, t := range pens {
		if t.verdict == tempo.SameBody {
			a.Made = append(a.Made, t.bullpenID)
		} else {
			a.Broke = append(a.Broke, t.bullpenID)
		}
	}
	a.Met = s.full && float64(len(a.Made)) >= l.Need
	a.Have = "no bullpen's film tells yet"
	if n := len(pens); n > 0 {
		a.Have = fmt.Sprintf("same body in %d of %d%s (%s)%s", len(a.Made), n, soFar(s), likely(len(a.Made), n), s.waits(l.Of))
	}
}

// spread answers a line on the spread of the gaps: broken by the reps that lie
// further from the mean than the line allows, made by the others.
func (h history) spread(l Line, a *LineAnswer) {
	set := lastSet(len(h.judged), l.Of)
	reps := h.judged[set.from:set.to]
	gaps := make([]float64, len(reps))
	for i, j := range reps {
		gaps[i] = float64(*j.Gap)
	}
	s := bullpen.SampleOf(gaps)
	a.sort(reps, func(j Pitched) bool {
		off := float64(*j.Gap) - s.Mean
		return off <= l.Need && off >= -l.Need
	})
	switch s.N {
	case 0:
		a.Have = "no gap is known yet"
	case 1:
		a.Have = "one gap so far, and a spread takes two"
	default:
		a.Met = set.full && s.SD <= l.Need
		lo, hi := spreadWithin(s)
		a.Have = fmt.Sprintf("%.1f mph over %d%s (likely %.1f to %.1f in the long run)%s", s.SD, s.N, soFar(set), lo, hi, set.waits(l.Of))
	}
}

// sort shares the reps out among those that made the line and those that broke it.
func (a *LineAnswer) sort(reps []Pitched, made func(Pitched) bool) {
	for _, j := range reps {
		if made(j) {
			a.Made = append(a.Made, j.RepID)
		} else {
			a.Broke = append(a.Broke, j.RepID)
		}
	}
}

// spreadWithin returns the 95 % interval of a deviation, by chi-squared (NIST/SEMATECH
// e-Handbook, 1.3.5.8). At least two numbers.
func spreadWithin(s bullpen.Sample) (lo, hi float64) {
	squares := distuv.ChiSquared{K: float64(s.N - 1)}
	at := func(p float64) float64 { return s.SD * math.Sqrt(float64(s.N-1)/squares.Quantile(p)) }
	return at(0.975), at(0.025)
}

// soFar says that there are fewer than asked for.
func soFar(s set) string {
	if !s.full {
		return " so far"
	}
	return ""
}
