package tempo

import (
	"fmt"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
)

// Thrown is what stands beside the body of one rep: its place in the bullpen and
// what the gun showed.
type Thrown struct {
	Order   int
	Reading bullpen.Speed // mph; those of one pitch and drill all from one place of the gun
}

// byChance is how likely a match of the softest reps with the slowest legs may be by
// chance and still be spoken of.
const byChance = 0.05

// softest says in one sentence that the softest reps of the pitch are the ones with
// the slowest legs, "" where they are not, or where that may be chance.
//
// Of n reps that have both a reading and a body speed, k >= 2 had legs slower than
// her own fastballs' spread (Pace.Within). It is said when exactly these k are the
// softest, each softer than every one of the others, and have the slowest legs. Had
// reading and legs nothing to do with each other, any k of the n would be the softest
// with the same chance, 1 of n! / (k! (n-k)!): a permutation test (Fisher, The Design
// of Experiments, 1935, section 21; from memory), at the level byChance.
func softest(all []counted, paces []RepBody, s Subject, name, fast string, thrown map[string]Thrown) string {
	type both struct {
		Thrown
		legs BodySpeed
	}
	var slow, others []both
	for i, c := range all {
		t, read := thrown[c.RepID]
		legs := paces[i].Legs
		switch {
		case !read || !c.Full || c.fast || c.subject() != s || legs == nil:
		case !legs.Within && legs.Percent < 100:
			slow = append(slow, both{t, *legs})
		default:
			others = append(others, both{t, *legs})
		}
	}
	if len(slow) < 2 || len(others) == 0 || 1/choices(len(slow)+len(others), len(slow)) > byChance {
		return ""
	}
	for _, a := range slow {
		for _, b := range others {
			if a.Reading >= b.Reading || a.legs.Percent >= b.legs.Percent {
				return ""
			}
		}
	}
	slices.SortFunc(slow, func(a, b both) int { return a.Order - b.Order })
	var orders []int
	var speeds []string
	for _, r := range slow {
		orders = append(orders, r.Order)
		speeds = append(speeds, strings.TrimSuffix(bullpen.Percent(r.legs.Percent), " %"))
	}
	k := len(slow)
	return fmt.Sprintf("The %d softest of %d %s (%s) have the slowest legs too (%s %% of her %s's speed): watch her legs on those.",
		k, k+len(others), plural(name), bullpen.RepsSaid(orders), bullpen.Listed(speeds), fast)
}

// choices is how many ways there are to pick k of n.
func choices(n, k int) float64 {
	ways := 1.0
	for i := range k {
		ways *= float64(n-i) / float64(i+1)
	}
	return ways
}
