package rhythm

import (
	"cmp"
	"math"
	"slices"
)

// None stands for an entry that belongs to no rep of the film.
const None = -1

// Offset says how far the film's clock may lie behind the entries' clock, seconds: an
// entry at t was typed t-r-offset seconds after the rep at r.
type Offset struct{ Lo, Hi float64 }

// ClockError is how far a phone's clock is reckoned to be off another's, seconds. Working
// value, no source; phones that are on a network agree far better.
const ClockError = 5.0

// Recorded is the offset of a film whose recording began at start on the entries' clock.
func Recorded(start float64) Offset { return Offset{start - ClockError, start + ClockError} }

// Pairing is one way in which entries belong to reps.
type Pairing struct {
	Reps   []int   // for each entry the index of its rep, rising, or None
	Chance float64 // 0..1, that all of it is right, as far as times tell
}

// Match is what the rhythm tells.
type Match struct {
	Pairings []Pairing // the likeliest first, at most three. None where nothing was typed or thrown.
	// Chances are, for each entry, that it belongs where the likeliest pairing has it.
	Chances []float64
}

// sureFrom is the chance from which on a pairing is not asked about.
const sureFrom = 0.98

// Sure says whether the likeliest pairing need not be asked about.
func (l Match) Sure() bool { return len(l.Pairings) > 0 && l.Pairings[0].Chance >= sureFrom }

const (
	offsetStep = 0.25 // how finely offsets are tried, seconds
	negligible = 20.0 // an offset whose likeliest way gains so much less than the best counts for nothing
	shownWays  = 3
)

// Of lays entries over reps, both in seconds on clocks of their own and rising. Without
// an offset every one is tried under which they overlap; of several it may be any.
//
// Beforehand every offset is as likely as any other. A way to lay entries over reps
// weighs what its delays, missed readings and stray entries make it (gain); its chance is
// its weight over all offsets, divided by that of all ways (Bayes' rule).
func Of(entries, reps []float64, known ...Offset) Match {
	if len(entries) == 0 || len(reps) == 0 {
		return Match{}
	}
	if len(known) == 0 {
		known = []Offset{{entries[0] - reps[len(reps)-1] - latest, entries[len(entries)-1] - reps[0]}}
	}
	offsets, likely, top := probe(layer{entries: entries, reps: reps}, known)
	// One offset's tables at a time: 60 entries over 300 reps have some hundred offsets.
	w := newWays(entries, reps)
	total, weights, shares := 0.0, make([]float64, len(likely)), make([]float64, len(offsets))
	for i, o := range offsets {
		w.at(o)
		shares[i] = math.Exp(w.total() - top)
		total += shares[i]
		for k, way := range likely {
			weights[k] += math.Exp(w.weight(way) - top)
		}
	}
	out := Match{Chances: make([]float64, len(entries))}
	for k, way := range likely {
		out.Pairings = append(out.Pairings, Pairing{way, weights[k] / total})
	}
	slices.SortStableFunc(out.Pairings, func(a, b Pairing) int { return cmp.Compare(b.Chance, a.Chance) })
	out.Pairings = out.Pairings[:min(len(out.Pairings), shownWays)]
	for i, o := range offsets {
		w.at(o)
		w.fromTheFirst()
		for e, r := range out.Pairings[0].Reps {
			out.Chances[e] += w.chance(e, r) * shares[i] / total
		}
	}
	return out
}

// probe returns the offsets that count, every way that is the likeliest under one of
// them, and the greatest gain.
func probe(l layer, known []Offset) (offsets []float64, likely [][]int, top float64) {
	var tried, gains []float64
	top = math.Inf(-1)
	for _, within := range known {
		for o := within.Lo; o <= within.Hi; o += offsetStep {
			if slices.ContainsFunc(known, func(k Offset) bool { return k.Lo < within.Lo && o <= k.Hi }) {
				continue // tried already
			}
			gain := l.at(o).gain
			tried, gains, top = append(tried, o), append(gains, gain), max(top, gain)
		}
	}
	seen := map[string]bool{}
	for i, o := range tried {
		if gains[i] < top-negligible {
			continue
		}
		offsets = append(offsets, o)
		c := l.at(o)
		if key := c.key(); !seen[key] {
			seen[key] = true
			likely = append(likely, c.reps(len(l.entries)))
		}
	}
	return offsets, likely, top
}

// reps returns, for each of n entries, its rep.
func (c chain) reps(n int) []int {
	out := slices.Repeat([]int{None}, n)
	for at := c.last; at >= 0; at = c.links[at].before {
		out[c.links[at].entry] = c.links[at].rep
	}
	return out
}

// key tells chains apart.
func (c chain) key() string {
	var out []byte
	for at := c.last; at >= 0; at = c.links[at].before {
		k := c.links[at]
		out = append(out, byte(k.entry>>8), byte(k.entry), byte(k.rep>>8), byte(k.rep))
	}
	return string(out)
}
