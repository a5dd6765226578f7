package rhythm

import "math"

// ways sums over every way to lay the entries over the reps in order, an offset at a time.
// A table's cell [e][r] is the logarithm of the sum over the first e entries and r reps,
// and for the rest over those from e and r on. The tables are used again for the next
// offset.
type ways struct {
	entries, reps []float64
	offset        float64
	strays        []float64 // of each entry alone
	first, rest   [][]float64
}

func newWays(entries, reps []float64) *ways {
	n, m := len(entries), len(reps)
	return &ways{entries: entries, reps: reps, strays: make([]float64, n), first: table(n+1, m+1), rest: table(n+1, m+1)}
}

// at sums over all ways under an offset.
func (w *ways) at(offset float64) {
	w.offset = offset
	for e, t := range w.entries {
		w.strays[e] = stray(t-offset, w.reps)
	}
	for e := len(w.entries) - 1; e >= 0; e-- {
		for r := len(w.reps) - 1; r >= 0; r-- {
			w.rest[e][r] = grow(w.rest[e+1][r], w.rest[e][r+1], w.rest[e+1][r+1], w.gain(e, r))
		}
	}
}

// fromTheFirst sums the other way round too, which chance needs.
func (w *ways) fromTheFirst() {
	for e := 1; e <= len(w.entries); e++ {
		for r := 1; r <= len(w.reps); r++ {
			w.first[e][r] = grow(w.first[e-1][r], w.first[e][r-1], w.first[e-1][r-1], w.gain(e-1, r-1))
		}
	}
}

// gain is that of a pair over leaving both alone.
func (w *ways) gain(e, r int) float64 {
	return gain(w.entries[e]-w.reps[r]-w.offset) - w.strays[e]
}

// weight is the logarithm of what one way weighs.
func (w *ways) weight(way []int) float64 {
	sum := w.alone()
	for e, r := range way {
		if r != None {
			sum += w.gain(e, r)
		}
	}
	return sum
}

// alone is the weight of the way in which no entry belongs to a rep.
func (w *ways) alone() float64 {
	sum := 0.0
	for _, one := range w.strays {
		sum += one
	}
	return sum
}

// total is the logarithm of the sum over all ways.
func (w *ways) total() float64 { return w.alone() + w.rest[0][0] }

// chance is that entry e belongs to rep r (None: to none), under this offset.
func (w *ways) chance(e, r int) float64 {
	if r != None {
		return math.Exp(w.first[e][r] + w.gain(e, r) + w.rest[e+1][r+1] - w.rest[0][0])
	}
	none := 1.0
	for r := range w.reps {
		if g := w.gain(e, r); !math.IsInf(g, -1) {
			none -= w.chance(e, r)
		}
	}
	return max(none, 0)
}

// grow adds one entry and one rep to sums: what there is without the entry and without
// the rep, less what both count, and what is new by the two together.
func grow(withoutEntry, withoutRep, withoutBoth, pair float64) float64 {
	if withoutRep == withoutBoth && math.IsInf(pair, -1) {
		return withoutEntry // most cells: this entry reaches no rep so far
	}
	top := max(withoutEntry, withoutRep)
	sum := math.Exp(withoutEntry-top) + math.Exp(withoutRep-top) - math.Exp(withoutBoth-top)
	if !math.IsInf(pair, -1) {
		sum += math.Exp(withoutBoth + pair - top)
	}
	return top + math.Log(sum)
}

func table(n, m int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, m)
	}
	return out
}
