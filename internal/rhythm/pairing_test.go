package rhythm

import (
	"math"
	"slices"
	"testing"
)

// reps of a bullpen with a rhythm of its own, seconds on the film's clock.
var reps = []float64{12, 31, 55, 71, 98, 115, 139, 160, 176, 204}

// typed is an entry for each of reps, 4 s after it and 3600 s further on.
func typed() []float64 {
	out := make([]float64, len(reps))
	for i, r := range reps {
		out[i] = r + 3604
	}
	return out
}

func without(s []float64, i int) []float64 { return slices.Delete(slices.Clone(s), i, i+1) }

func TestOf(t *testing.T) {
	all := []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}
	for _, c := range []struct {
		what          string
		entries, reps []float64
		want          []int
	}{
		{"each has its own", typed(), reps, all},
		{"one was not typed in", without(typed(), 4), reps, []int{0, 1, 2, 3, 5, 6, 7, 8, 9}},
		{"one rep was not found", typed(), without(reps, 6), []int{0, 1, 2, 3, 4, 5, None, 6, 7, 8}},
		{"the film began late", typed(), reps[2:], []int{None, None, 0, 1, 2, 3, 4, 5, 6, 7}},
		{"the phone came late", typed()[3:], reps, []int{3, 4, 5, 6, 7, 8, 9}},
	} {
		for what, known := range map[string][]Offset{"": nil, ", recording time known": {{3597, 3603}}, ", one of two recording times": {{3397, 3403}, {3597, 3603}}} {
			laid := Of(c.entries, c.reps, known...)
			if got := laid.Pairings[0].Reps; !slices.Equal(got, c.want) {
				t.Errorf("%s%s: %v, want %v", c.what, what, got, c.want)
			}
			if len(laid.Chances) != len(c.entries) {
				t.Errorf("%s%s: %d chances", c.what, what, len(laid.Chances))
			}
		}
	}
}

// Reps as even as a clock's could be shifted by one: that is asked, with both ways shown.
func TestOfEven(t *testing.T) {
	var even, entries []float64
	for i := range 20 {
		even = append(even, 20*float64(i))
		if i > 0 {
			entries = append(entries, 20*float64(i)+1003)
		}
	}
	laid := Of(entries, even)
	if laid.Sure() || len(laid.Pairings) < 2 || math.Abs(laid.Pairings[0].Chance-laid.Pairings[1].Chance) > 0.1 {
		t.Errorf("%+v", laid.Pairings)
	}
	if laid = Of(entries, even, Offset{995, 1005}); !laid.Sure() {
		t.Errorf("with the recording time: %+v", laid.Pairings)
	}
}

func TestOfNothing(t *testing.T) {
	for _, laid := range []Match{Of(nil, reps), Of(typed(), nil)} {
		if laid.Sure() || len(laid.Pairings) > 0 {
			t.Errorf("%+v", laid)
		}
	}
}

// ways sums over all ways to lay few entries over few reps; here they are counted out
// one by one (Bayes' rule by brute force).
func TestWaysByCounting(t *testing.T) {
	entries, reps := []float64{6, 21, 33, 52}, []float64{0, 14, 19, 30, 47}
	w := newWays(entries, reps)
	w.at(2) // the tables hold nothing of the offset before
	w.fromTheFirst()
	w.at(1)
	w.fromTheFirst()
	total := 0.0
	onRep := map[[2]int]float64{}
	var lay func(e, from int, way []int)
	lay = func(e, from int, way []int) {
		if e == len(entries) {
			weight := math.Exp(w.weight(way))
			total += weight
			for e, r := range way {
				onRep[[2]int{e, r}] += weight
			}
			return
		}
		lay(e+1, from, append(slices.Clone(way), None))
		for r := from; r < len(reps); r++ {
			lay(e+1, r+1, append(slices.Clone(way), r))
		}
	}
	lay(0, 0, nil)
	if d := math.Abs(w.total() - math.Log(total)); d > 1e-9 {
		t.Errorf("total %g, counted %g", w.total(), math.Log(total))
	}
	for e := range entries {
		for r := None; r < len(reps); r++ {
			if got, want := w.chance(e, r), onRep[[2]int{e, r}]/total; math.Abs(got-want) > 1e-9 {
				t.Errorf("entry %d on rep %d: %g, counted %g", e, r, got, want)
			}
		}
	}
}
