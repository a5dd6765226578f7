package tempo

import (
	"math"
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

// Welch's interval of a small sample: NAG Library manual, g07ca, example (means,
// deviations, and the 95 % interval 0.4410 .. 7.5590 as printed there).
func TestCompareIsWelch(t *testing.T) {
	c, ok := Compare(spread(8, 21, 4.208), spread(4, 25, 0.8185), 0, 0)
	if !ok {
		t.Fatal("not compared")
	}
	half := math.Sqrt(c.U*c.U - biasFloor*biasFloor)
	if math.Abs(c.Log-4) > 1e-9 || math.Abs(c.Log-half-0.4410) > 2e-3 || math.Abs(c.Log+half-7.5590) > 2e-3 {
		t.Errorf("difference %.4f, interval %.4f .. %.4f; want 4, 0.4410 .. 7.5590", c.Log, c.Log-half, c.Log+half)
	}
}

func TestCompareNeedsTwoOfEach(t *testing.T) {
	for _, tt := range []struct {
		fast, off []float64
		ok        bool
	}{
		{nil, nil, false},
		{[]float64{1}, []float64{1, 2}, false},
		{[]float64{1, 2}, []float64{1, math.NaN(), -1, 0}, false},
		{[]float64{1, 2}, []float64{1, 2}, true},
		{[]float64{1, 1}, []float64{1, 1}, true}, // no spread at all: the floor is left
	} {
		c, ok := Compare(tt.fast, tt.off, 0, biasSide)
		if ok != tt.ok {
			t.Errorf("Compare(%v, %v): ok %v, want %v", tt.fast, tt.off, ok, tt.ok)
		}
		if ok && (math.IsNaN(c.U) || c.U < biasFloor) {
			t.Errorf("Compare(%v, %v): half-width %v", tt.fast, tt.off, c.U)
		}
	}
}

// Equal frame counts hide the camera's blur; the floor u2 must bring it back.
func TestCompareKeepsTheFramesBlur(t *testing.T) {
	same := []float64{0.45, 0.45, 0.45}
	c, _ := Compare(same, same, 0.03*0.03, 0)
	want := math.Hypot(biasFloor, 2.7764*0.03*math.Sqrt(2.0/3))
	if math.Abs(c.U-want) > 1e-4 {
		t.Errorf("half-width %.4f, want %.4f", c.U, want)
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
