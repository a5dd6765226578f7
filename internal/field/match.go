package field

import (
	"cmp"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/rhythm"
)

// Way is one way in which entries belong to throws: for each entry, as typed, the index of
// its throw, or rhythm.None.
type Way struct {
	Throws []int
	Chance float64 // 0..1, that all of it is right, as far as times tell
}

// Match is what was found of a bullpen's entries.
type Match struct {
	Entries []string // IDs, in the order typed
	Throws  []Throw  // in the order thrown
	Ways    []Way    // the likeliest first; none where times tell nothing
	// Sure: the first way need not be asked about.
	Sure bool
	// Why says in one sentence why there is no way, or why it is asked about though there
	// is but one; "" where that needs no words.
	Why string
}

// What is said where times tell less than one would think.
const (
	whyUntimed = "These films don’t say when they were made, and there is more than one: the clock can’t tell which reading is which rep’s. Say yes only if they are in the order thrown."
	whyCounts  = "These films don’t say when they were made, and there is more than one, so the clock can’t tell which reading is which rep’s. Type them in the film room, with Many readings."
	whyClocks  = "The films’ own clocks and the phone’s disagree, so the clock can’t tell which reading is which rep’s. Say yes only if they are in the order thrown."
	whyOther   = "The films’ own clocks and the phone’s disagree, so the clock can’t tell which reading is which rep’s. Type them in the film room, with Many readings."
	whyClock   = "The film’s own clock and the phone’s disagree, so only the rhythm speaks for this."
	whyNone    = "None of these readings falls on a rep of the film, by the clock or by the rhythm."
)

// match lays entries over the throws on a bullpen's films.
func match(entries []bullpen.FieldEntry, shots []shot) Match {
	var m Match
	typed := make([]float64, len(entries))
	for i, e := range entries {
		m.Entries = append(m.Entries, e.ID)
		typed[i] = float64(e.At) / 1e6
	}
	timed := !slices.ContainsFunc(shots, func(s shot) bool { return s.recorded == 0 })
	if timed {
		shots = slices.SortedStableFunc(slices.Values(shots), func(a, b shot) int { return cmp.Compare(a.recorded, b.recorded) })
	}
	for _, s := range shots {
		m.Throws = append(m.Throws, s.throws...)
	}
	if len(entries) == 0 || len(m.Throws) == 0 {
		return m
	}
	var laid rhythm.Match
	ok := false
	if timed {
		laid, ok = byClock(typed, shots)
	}
	switch {
	case ok:
	case len(shots) == 1: // by rhythm alone
		laid = rhythm.Of(typed, shots[0].times)
		m.Sure = shots[0].recorded == 0 && laid.Sure()
		if shots[0].recorded > 0 {
			m.Why = whyClock
		}
	case len(entries) == len(m.Throws):
		m.Why = whyUntimed
		if timed {
			m.Why = whyClocks
		}
		laid = rhythm.Match{Pairings: []rhythm.Pairing{{Reps: inOrder(len(entries))}}}
	case timed:
		m.Why, laid = whyOther, rhythm.Match{} // a clock that is wrong pairs at random
	default:
		m.Why = whyCounts
	}
	m.Sure = m.Sure || ok && laid.Sure()
	for _, p := range laid.Pairings {
		if paired(p.Reps) > 0 && (len(m.Ways) == 0 || p.Chance >= leastShown) {
			m.Ways = append(m.Ways, Way{p.Reps, p.Chance})
		}
	}
	if len(m.Ways) == 0 {
		m.Sure = false
		if len(laid.Pairings) > 0 || len(shots) == 1 {
			m.Why = whyNone
		}
	}
	return m
}

// leastShown is the chance below which another way is not worth a look.
const leastShown = 0.005

// byClock lays entries over throws by the films' own recording times. Some phones note
// when they began to record, some when they ended (from memory; the films don't say
// which), so both are tried. All of them say when. It is no answer when fewer than half of
// what could be is paired: then a clock is wrong.
func byClock(typed []float64, shots []shot) (rhythm.Match, bool) {
	origin := shots[0].recorded // small numbers keep their fractions
	since := make([]float64, len(typed))
	for i, t := range typed {
		since[i] = t - origin
	}
	begun, throws := laidOut(shots, origin, 0)
	if len(shots) == 1 {
		laid := rhythm.Of(since, begun, rhythm.Recorded(0), rhythm.Recorded(-shots[0].seconds))
		return laid, enough(laid, len(typed), throws)
	}
	ended, _ := laidOut(shots, origin, 1)
	a, b := rhythm.Of(since, begun, rhythm.Recorded(0)), rhythm.Of(since, ended, rhythm.Recorded(0))
	switch fits, other := enough(a, len(typed), throws), enough(b, len(typed), throws); {
	case fits && other && !slices.Equal(a.Pairings[0].Reps, b.Pairings[0].Reps):
		both := []rhythm.Pairing{a.Pairings[0], b.Pairings[0]}
		for i := range both {
			both[i].Chance /= 2
		}
		return rhythm.Match{Pairings: both}, true // not sure: it is asked
	case !fits && other:
		return b, true
	default:
		return a, fits
	}
}

// laidOut puts the throws of all films on one clock, seconds from origin; ended is the
// share of a film's length by which its noted time is late.
func laidOut(shots []shot, origin, ended float64) (times []float64, n int) {
	for _, s := range shots {
		for _, t := range s.times {
			times = append(times, s.recorded-origin-ended*s.seconds+t)
		}
	}
	return times, len(times)
}

// enough says whether at least half of what could be is paired.
func enough(laid rhythm.Match, entries, throws int) bool {
	return len(laid.Pairings) > 0 && 2*paired(laid.Pairings[0].Reps) >= min(entries, throws)
}

func paired(reps []int) (n int) {
	for _, r := range reps {
		if r != rhythm.None {
			n++
		}
	}
	return n
}

func inOrder(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}
