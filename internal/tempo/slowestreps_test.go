package tempo

import (
	"fmt"
	"testing"

	"tenoff/internal/bullpen"
)

// The softest reps are said to be those with the slowest legs when they are exactly
// those, and when that is no chance: two of eight are the softest two once in 28
// times, two of six once in 15.
func TestSoftestWithTheSlowestLegs(t *testing.T) {
	const said = "The 2 softest of 8 change-ups (reps 14 and 16) have the slowest legs too (87 and 83 % of her fastball's speed): watch her legs on those."
	for _, c := range []struct {
		name string
		legs []float64 // times of the change-ups, in the fastball's
		mph  []bullpen.Speed
		want string
	}{
		{"the two last", []float64{1, 1, 1, 1, 1, 1.15, 1, 1.2}, []bullpen.Speed{46, 45, 46, 47, 45, 41, 46, 40}, said},
		{"one of them not the softest", []float64{1, 1, 1, 1, 1, 1.15, 1, 1.2}, []bullpen.Speed{46, 45, 46, 40, 45, 46, 46, 40}, ""},
		{"the gun can't tell them", []float64{1, 1, 1, 1, 1, 1.15, 1, 1.2}, []bullpen.Speed{46, 45, 46, 41, 45, 41, 46, 40}, ""},
		{"of too few", []float64{1, 1, 1, 1.15, 1, 1.2}, []bullpen.Speed{46, 45, 46, 41, 45, 40}, ""},
		{"only one", []float64{1, 1, 1, 1, 1, 1, 1, 1.2}, []bullpen.Speed{46, 45, 46, 47, 45, 46, 46, 40}, ""},
		{"none, and one much softer", []float64{1, 1, 1, 1, 1, 1, 1, 1}, []bullpen.Speed{46, 45, 46, 47, 45, 46, 46, 40}, ""},
		{"all of them", []float64{1.2, 1.2, 1.2, 1.2, 1.2, 1.2, 1.2, 1.2}, []bullpen.Speed{46, 45, 46, 47, 45, 46, 46, 40}, ""},
		{"faster legs on the softest", []float64{1, 1, 1, 1, 1, 0.85, 1, 0.8}, []bullpen.Speed{46, 45, 46, 47, 45, 41, 46, 40}, ""},
		{"not read", []float64{1, 1, 1, 1, 1, 1.15, 1, 1.2}, []bullpen.Speed{46, 0, 46, 0, 45, 41, 0, 40}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var reps []RepTiming
			thrown := map[string]Thrown{}
			for i := range 8 {
				reps = append(reps, foundRep(fmt.Sprint("f", i), bullpen.Fastball, bullpen.ViewSide, 0.45*(1+0.02*float64(i%2)), 0.13))
			}
			for i, longer := range c.legs {
				id := fmt.Sprint("c", i)
				reps = append(reps, foundRep(id, bullpen.ChangeUp, bullpen.ViewSide, 0.4545*longer, 0.13))
				if c.mph[i] > 0 {
					thrown[id] = Thrown{Order: 9 + i, Reading: c.mph[i]}
				}
			}
			if got := only(t, Assess(reps, Options{Thrown: thrown})).Softest; got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}

// Numbers of combinations from any table of them.
func TestChoices(t *testing.T) {
	for _, c := range [][3]float64{{8, 2, 28}, {6, 3, 20}, {10, 5, 252}, {5, 0, 1}, {40, 20, 137846528820}} {
		if got := choices(int(c[0]), int(c[1])); got != c[2] {
			t.Errorf("%v of %v: %v, want %v", c[1], c[0], got, c[2])
		}
	}
}
