package tempo

import (
	"math"
	"math/rand/v2"
	"testing"

	"tenoff/internal/bullpen"
)

// spread returns n values (n even) with exactly the given mean and standard
// deviation, as times whose logarithms they are.
func spread(n int, mean, sd float64) []float64 {
	a := sd * math.Sqrt(float64(n-1)/float64(n))
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Exp(mean + a*float64(1-2*(i%2)))
	}
	return out
}

// laps are reps of these times, seconds, at every second place from the given one.
func laps(times []float64, from int, u float64) []lapTime {
	var out []lapTime
	for i, t := range times {
		out = append(out, lapTime{place: float64(from + 2*i), log: math.Log(t), u: u})
	}
	return out
}

// compared compares times thrown in turn.
func compared(fast, off []float64, u, bias float64) (Contrast, bool) {
	return ownOf(laps(fast, 1, u)).compare(laps(off, 2, u), bias)
}

// Worked by hand: fastballs of 1 s at places 1 and 3, others of e^0.1 s at 2 and 4. Nothing
// is left over on either side, so each says of the other that its squared scale is
// 4/(4+2-1) = 0.8, known with 5 degrees of freedom and so worth 1/(1/5+1/4) = 20/9; beside its
// own one free rep that makes (20/9 0.8)/(20/9+1) = 16/29, with 29/9 degrees. The level at
// place 3, one place from the middle, has 16/29*(0.02^2/2 + slope), and the others' mean
// 16/29*0.03^2/2.
func TestCompareByHand(t *testing.T) {
	off := math.Exp(0.1)
	c, ok := compared([]float64{1, 1}, []float64{off, off}, 0, 0)
	if !ok || math.Abs(c.Log-0.1) > 1e-12 {
		t.Fatalf("%+v, %v", c, ok)
	}
	// 1/P of the slope: w sum x^2 = 2/0.02^2, and the prior's 1/slope^2, which stays as wide
	// as it is said where the scale, of both sides, comes out under 1.
	loose := 1 / (2/(0.02*0.02) + 16.0/29/(usualSlope*usualSlope))
	a, b := 16.0/29*(0.02*0.02/2+loose), 16.0/29*0.03*0.03/2
	df := (a + b) * (a + b) / (a*a + b*b) * 29 / 9
	half := math.Hypot(biasFloor, bullpen.TQuantile(0.975, df)*math.Sqrt(a+b))
	if math.Abs(c.U-half) > 1e-12 {
		t.Errorf("half-width %.6f, by hand %.6f", c.U, half)
	}
}

// She slows by 6 % over the bullpen, whatever she throws: that is no slow-down for the
// change-up, in whichever order they come.
func TestCompareWhileSheTires(t *testing.T) {
	for _, blocked := range []bool{false, true} {
		var fast, off []lapTime
		dice := rand.New(rand.NewPCG(6, 60))
		for i := range 60 {
			l := lapTime{place: float64(i), log: math.Log(0.45) + 0.06*float64(i)/60 + 0.02*dice.NormFloat64(), u: 0.005}
			if blocked && i < 30 || !blocked && i%2 == 0 {
				fast = append(fast, l)
			} else {
				off = append(off, l)
			}
		}
		c, _ := ownOf(fast).compare(off, biasSide)
		if c.Lo() > 0 || c.Hi() < 0 {
			t.Errorf("blocked %v: %.3f to %.3f leaves out that nothing was slower", blocked, c.Lo(), c.Hi())
		}
	}
}

func TestCompareNeedsTwoOfEach(t *testing.T) {
	for _, tt := range []struct {
		fast, off []float64
		ok        bool
	}{
		{[]float64{1}, []float64{1, 2}, false},
		{[]float64{1, 2}, []float64{1}, false},
		{[]float64{1, 2}, []float64{1, 2}, true},
		{[]float64{1, 1}, []float64{1, 1}, true}, // no spread at all: what is known beforehand is left
	} {
		c, ok := compared(tt.fast, tt.off, 0, biasSide)
		if ok != tt.ok {
			t.Errorf("%v, %v: ok %v, want %v", tt.fast, tt.off, ok, tt.ok)
		}
		if ok && (math.IsNaN(c.U) || c.U < biasFloor) {
			t.Errorf("%v, %v: half-width %v", tt.fast, tt.off, c.U)
		}
	}
	if c, ok := (herFastballs{}).compare(laps([]float64{1, 2}, 1, 0), biasSide); ok || c.Fast != 0 || c.Off != 2 {
		t.Errorf("without a fastball: %+v, %v", c, ok)
	}
}

// Equal frame counts hide the camera's blur; what measuring makes must bring it back.
func TestCompareKeepsTheFramesBlur(t *testing.T) {
	same := []float64{0.45, 0.45, 0.45}
	c, _ := compared(same, same, 0.03, 0)
	if least := 1.96 * 0.03 * math.Sqrt(2.0/3); c.U < least {
		t.Errorf("half-width %.4f, less than the frames' %.4f", c.U, least)
	}
}

// Student's t, two decimals of probability: standard tables, e.g. NIST/SEMATECH
// e-Handbook 1.3.6.7.2.
func TestQuantile(t *testing.T) {
	for _, tt := range []struct{ p, df, want float64 }{
		{0.975, 1, 12.7062}, {0.975, 4, 2.7764}, {0.975, 10, 2.2281}, {0.95, 3, 2.3534},
		{0.90, 20, 1.3253}, {0.995, 30, 2.7500}, {0.975, 120, 1.9799},
	} {
		if got := bullpen.TQuantile(tt.p, tt.df); math.Abs(got-tt.want) > 1e-4 {
			t.Errorf("t(%v, %v) = %.5f, want %.4f", tt.p, tt.df, got, tt.want)
		}
	}
}

// Computed from the power formula by hand for the usual cases of a bullpen: rep
// scatter 2 % and 3.5 % with film (0.8 %) and hand marks at 60 frames a second.
func TestLeastFound(t *testing.T) {
	for _, tt := range []struct {
		n           int
		spread, u   float64
		wantPercent float64
	}{
		{3, 0.02, 0.008, 6.8}, {5, 0.02, 0.008, 4.4}, {8, 0.02, 0.008, 3.3}, {20, 0.02, 0.008, 2.0},
		{5, 0.035, 0.008, 7.5}, {10, 0.035, 0.008, 4.9},
	} {
		if got := Percent(LeastFound(tt.n, tt.spread, tt.u)); math.Abs(got-tt.wantPercent) > 0.15 {
			t.Errorf("LeastFound(%d, %v, %v) = %.2f %%, want %.1f %%", tt.n, tt.spread, tt.u, got, tt.wantPercent)
		}
	}
}
