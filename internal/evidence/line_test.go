package evidence

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// Worked by hand: 55 and 46 at places 1 and 2, spreads 1.2 and 1.8, a slope of 0 +- 1/30.
func TestOneOfEach(t *testing.T) {
	l := LineOf(Prior{Spreads: []float64{1.2, 1.8}, Slope: 1.0 / 30}, []Rep{{Group: 0, Place: 1, Value: 55}, {Group: 1, Place: 2, Value: 46}})
	gap := l.Gap(0, 1)
	near(t, "gap", gap.Value, 9, 0)
	near(t, "degrees of freedom", gap.DF, 4, 0)
	near(t, "scale", gap.Scale, math.Sqrt(1.44+3.24+1.0/900), 1e-12) // nothing is learned of the spread
	near(t, "uncertainty", gap.U(), math.Sqrt2*gap.Scale, 1e-12)
	near(t, "slope", l.Slope().Value, 0, 0)
}

// Fastballs first and change-ups last: the gap is as wide as the slope is open; one
// fastball at the end closes it.
func TestOrderCounts(t *testing.T) {
	prior := Prior{Spreads: []float64{1.2, 1.8}, Slope: 2.0 / 60}
	var reps []Rep
	for i := range 60 {
		r := Rep{Place: float64(i), Value: 55 - 3.0/60*float64(i)}
		r.Value += []float64{1, -1, -1, 1}[i%4] * 1.2 // a spread without a slope of its own
		if i >= 30 {
			r.Group, r.Value = 1, r.Value-10.5
		}
		reps = append(reps, r)
	}
	blocked := LineOf(prior, reps)
	near(t, "means apart", blocked.Gap(0, 1).Value-blocked.Shift(0, 1), 12, 0.1)
	if gap := blocked.Gap(0, 1); math.Abs(gap.Value-10.5) > gap.U() {
		t.Errorf("blocked: %.2f +- %.2f does not reach the true 10.5", gap.Value, gap.U())
	}
	closed := LineOf(prior, append(reps, Rep{Place: 60, Value: 52}, Rep{Place: 61, Value: 52}, Rep{Place: 62, Value: 52}))
	if a, b := blocked.Gap(0, 1).U(), closed.Gap(0, 1).U(); b > 0.8*a {
		t.Errorf("three fastballs at the end: +-%.2f after +-%.2f", b, a)
	}
	if s := closed.Slope(); !s.IsClear(0.95) || s.Value > 0 {
		t.Errorf("3 mph lost over 60 reps: the slope %.3f is not clear", s.Value)
	}
}

// Three alike readings never make a spread of nothing, and no number of alike ones makes
// less than their rounding.
func TestAlike(t *testing.T) {
	prior := Prior{Spreads: []float64{1.2}, Slope: 2.0 / 60}
	alike := func(n int) Line {
		var reps []Rep
		for i := range n {
			reps = append(reps, Rep{Place: float64(i), Value: 55, Known: 1.0 / 12})
		}
		return LineOf(prior, reps)
	}
	near(t, "three", alike(3).Spread(0), 1.2*math.Sqrt(4.0/6), 1e-12)
	next := alike(5000).Next(0, 2500, 1.0/12)
	if next.Scale < math.Sqrt(1.0/12) {
		t.Errorf("5,000 alike: the next one within +-%.3f, less than rounding makes", next.Scale)
	}
}

// A group without reps scatters as the others do, for its size: three at 0, 2 and 4 of a
// group that was expected to spread by 1 have 8 about their mean with a flat slope, so that the
// others' squared scale is (4 + 8)/(4 + 2) and is worth 1/(1/6 + 1/4) = 2.4 reps. With no reps
// at all there is what was known beforehand.
func TestGroupWithoutReps(t *testing.T) {
	prior := Prior{Spreads: []float64{1, 3}, Slope: 1e-9}
	l := LineOf(prior, []Rep{{Place: 1, Value: 0}, {Place: 2, Value: 4}, {Place: 3, Value: 2}})
	near(t, "spread", l.Spread(1), 3*math.Sqrt2, 1e-6)
	near(t, "known with", l.SpreadDF(1), 2.4, 1e-12)
	if next := l.Next(1, 2, 0); !math.IsInf(next.Scale, 1) {
		t.Errorf("the next of a group without reps, whose level nobody knows, is known to %v", next.Scale)
	}
	none := LineOf(prior, nil)
	near(t, "spread before anything is thrown", none.Spread(1), 3, 1e-12)
	near(t, "known with before", none.SpreadDF(1), UsualWorth, 0)
}

func TestEstimate(t *testing.T) {
	e := Estimate{Value: 10, Scale: 2, DF: 10}
	lo, hi := e.Interval(0.95)
	near(t, "from", lo, 10-2*2.2281, 1e-3) // Student's table: t.975 of 10 is 2.2281
	near(t, "to", hi, 10+2*2.2281, 1e-3)
	near(t, "chance of the interval", e.Between(lo, hi), 0.95, 1e-12)
	normal := Estimate{Value: 10, Scale: 2, DF: math.Inf(1)}
	lo, _ = normal.Interval(0.95)
	near(t, "normal from", lo, 10-2*1.959964, 1e-6)
	near(t, "normal below", normal.Below(12), 0.841345, 1e-6) // standard normal table at 1
	near(t, "normal u", normal.U(), 2, 0)
	if u := (Estimate{Scale: 1, DF: 2}).U(); !math.IsInf(u, 1) {
		t.Errorf("two degrees of freedom have a standard deviation of %v", u)
	}
	// JCGM 100:2008, G.4.1: u^4 / sum(u_i^4 / df_i), the second known without limit.
	b := e.Blurred(9)
	near(t, "blurred", b.Scale, math.Sqrt(13), 1e-12)
	near(t, "blurred df", b.DF, 13*13/(16.0/10), 1e-9)
	b = e.BlurredBy(Estimate{Value: 7, Scale: 3, DF: 4})
	near(t, "blurred by what is known", b.Value, 10, 0)
	near(t, "its scale", b.Scale, math.Sqrt(13), 1e-12)
	near(t, "its df", b.DF, 13*13/(16.0/10+81.0/4), 1e-9)
	if got := e.From(55); got.Value != 45 || got.Scale != 2 {
		t.Errorf("55 less %+v is %+v", e, got)
	}
}

func TestAsWide(t *testing.T) {
	// Lower critical values of chi-squared: NIST/SEMATECH e-Handbook, table 1.3.6.7.4.
	for _, c := range []struct{ df, chance, critical float64 }{{4, 0.95, 0.711}, {16, 0.9, 9.312}, {22, 0.9, 14.041}, {60, 0.95, 43.188}} {
		want := 2 * math.Sqrt(c.df/c.critical)
		if got := (Estimate{Scale: 2, DF: c.df}).AsWide(c.chance).Scale; math.Abs(got-want) > 1e-3*want {
			t.Errorf("%v degrees of freedom: %v, want %v", c.df, got, want)
		}
	}
	if got, want := (Estimate{Value: 3, Scale: 2, DF: math.Inf(1)}), (Estimate{3, 2, math.Inf(1)}); got.AsWide(0.9) != want {
		t.Errorf("known: %v", got.AsWide(0.9))
	}
}

// Two normal estimates of one number, weighted by their precisions, by hand: 1/2.25 and
// 1/12.25 make 0.52608, whose root is 0.72531 (Gelman et al., Bayesian Data Analysis, 3rd ed.,
// 2013, 2.5).
func TestGiven(t *testing.T) {
	normal := func(value, scale float64) Estimate { return Estimate{value, scale, math.Inf(1)} }
	e := normal(18, 1.5).Given(normal(10, 3.5))
	near(t, "drawn to the others", e.Value, (18/2.25+10/12.25)/0.52608, 1e-4)
	near(t, "known better", e.Scale, 1/0.72531, 1e-4)
	near(t, "known without doubt", normal(18, 0).Given(normal(10, 3.5)).Value, 18, 0)
	if got := normal(18, 0).Given(normal(10, 0)); got != normal(18, 0) {
		t.Errorf("both known without doubt: %+v", got)
	}
}

// Holm, Scand. J. Statist. 6 (1979): the steps, by hand. Bonferroni's share, 0.0125 of
// each, would find the first only.
func TestHolm(t *testing.T) {
	got := Holm([]float64{0.015, 0.04, 0.001, 0.03}, 0.05)
	want := []bool{true, false, true, false} // 0.001*4, 0.015*3, then 0.03*2 is over
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("chance %d: %v, want %v", i, got[i], want[i])
		}
	}
	if len(Holm(nil, 0.05)) != 0 {
		t.Error("something found among nothing")
	}
	if Holm([]float64{math.NaN()}, 0.05)[0] {
		t.Error("a chance that is no number is found")
	}
}

// Where Student's t is taken as normal it differs by less than 0.16/DF from itself, which
// gonum computes.
func TestManyDegreesOfFreedomAreNormal(t *testing.T) {
	e := Estimate{Value: 1, Scale: 2, DF: 2 * asNormal}
	for x := -9.0; x <= 11; x += 0.25 {
		if off := math.Abs(e.Below(x) - e.student().CDF((x-1)/2)); off > 0.16/asNormal {
			t.Errorf("below %g: off by %g", x, off)
		}
	}
	few := Estimate{DF: 4, Scale: 1}
	if got := few.Below(2.776445); math.Abs(got-0.975) > 1e-6 { // a table of t
		t.Errorf("four degrees of freedom: %g", got)
	}
}
