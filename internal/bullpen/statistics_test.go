package bullpen

import (
	"math"
	"testing"

	"tenoff/internal/evidence"
)

// NIST Statistical Reference Datasets, univariate summary statistics.
func TestSampleOfAgreesWithNIST(t *testing.T) {
	for _, row := range golden(t, "strd/certified.csv") {
		t.Run(row["set"], func(t *testing.T) {
			s := SampleOf(strd(t, row["set"]))
			near(t, "n", float64(s.N), float(t, row["n"]), 0)
			mean, sd := float(t, row["mean"]), float(t, row["sd"])
			near(t, "mean", s.Mean, mean, 1e-13*math.Abs(mean))
			near(t, "deviation", s.SD, sd, float(t, row["sdError"]))
		})
	}
}

// NumAcc3 and 4 are in the reference sets because one pass over the sum and the sum
// of squares loses all of their spread. Were it done so here, this test would be the
// one to say it.
func TestOnePassWouldFail(t *testing.T) {
	for set, want := range map[string]float64{"numacc3": 0.1, "numacc4": 0.1} {
		xs := strd(t, set)
		var sum, squares float64
		for _, x := range xs {
			sum += x
			squares += x * x
		}
		n := float64(len(xs))
		onePass := math.Sqrt((squares - sum*sum/n) / (n - 1))
		if math.Abs(onePass-want) < 1e-3 {
			t.Errorf("%s: one pass gives %v, so the set is no trap", set, onePass)
		}
		near(t, set, SampleOf(xs).SD, want, 1e-8)
	}
}

func TestSampleOfFew(t *testing.T) {
	if got := SampleOf(nil); got != (Sample{}) {
		t.Errorf("no numbers: %+v", got)
	}
	if got, want := SampleOf([]float64{47}), (Sample{N: 1, Mean: 47, Min: 47, Max: 47}); got != want {
		t.Errorf("one number: %+v, want %+v", got, want)
	}
}

func TestSampleWithout(t *testing.T) {
	xs := []float64{60, 61, 59, 60, 62, 60}
	all := SampleOf(xs)
	for i, x := range xs {
		want := SampleOf(append(append([]float64{}, xs[:i]...), xs[i+1:]...))
		got := all.without(x)
		near(t, "mean", got.Mean, want.Mean, 1e-12)
		near(t, "deviation", got.SD, want.SD, 1e-12)
	}
}

func TestTQuantile(t *testing.T) {
	for _, row := range golden(t, "t-quantiles.csv") {
		for _, p := range []string{"0.90", "0.95", "0.975", "0.995"} {
			df := float(t, row["df"])
			q := TQuantile(float(t, p), df)
			near(t, "t of "+p+" at "+row["df"], q, float(t, row[p]), 1e-4)
			near(t, "share below it", TBelow(q, df), float(t, p), 1e-9)
		}
	}
}

func TestTwoSamples(t *testing.T) {
	// NIST/SEMATECH e-Handbook, 1.3.5.3, AUTO83B: miles per gallon of US and
	// Japanese cars. The chances: the same data in the documentation of Boost.Math.
	us, japan := Sample{N: 249, Mean: 20.14458, SD: 6.41470}, Sample{N: 79, Mean: 30.48101, SD: 6.10771}
	// NAG Library, routine G07CAF, example program results; its deviations are printed
	// with four digits, which is what the tolerances allow for.
	x, y := Sample{N: 4, Mean: 25, SD: 0.8185}, Sample{N: 8, Mean: 21, SD: 4.208}
	// A data set of six-figure means; t and chances computed apart from this program.
	a, b := Sample{N: 12, Mean: 3.2, SD: 0.1}, Sample{N: 12, Mean: 3.4, SD: 0.15}
	for _, c := range []struct {
		name         string
		d            Difference
		t, tError    float64
		df, dfError  float64
		p, pError    float64
		lo, hi, ends float64
	}{
		{"AUTO83B pooled", Pooled(us, japan), -12.62059, 1e-5, 326, 0, 5.273e-30, 1e-33, 0, 0, 0},
		{"AUTO83B apart", Welch(us, japan), -12.94627, 1e-5, 136.8750, 1e-4, 1.571e-25, 1e-28, -11.91524, -8.75762, 1e-4},
		{"G07CAF pooled", Pooled(x, y), 1.8403, 3e-4, 10, 0, 0.0955, 1e-4, -0.8429, 8.8429, 5e-4},
		{"G07CAF apart", Welch(x, y), 2.5922, 3e-4, 8.0, 0.05, 0.0320, 1e-4, 0.4410, 7.5590, 1e-3},
		{"12 and 12 pooled", Pooled(a, b), -3.84308, 1e-5, 22, 0, 0.000884, 1e-6, 0, 0, 0},
		{"12 and 12 apart", Welch(a, b), -3.84308, 1e-5, 19.1649, 1e-4, 0.001082, 1e-6, 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			near(t, "t", c.d.T(), c.t, c.tError)
			near(t, "df", c.d.DF, c.df, c.dfError)
			near(t, "chance", c.d.P(), c.p, c.pError)
			if c.ends > 0 {
				lo, hi := c.d.Interval(0.95)
				near(t, "lower end", lo, c.lo, c.ends)
				near(t, "upper end", hi, c.hi, c.ends)
			}
		})
	}
	near(t, "pooled spread of AUTO83B", Pooled(us, japan).SE/math.Sqrt(1.0/249+1.0/79), 6.34260, 1e-5)
	near(t, "standard error of AUTO83B", Welch(us, japan).SE, 0.798410, 1e-6)
}

// The published example of two one-sided tests: documentation of the R package
// TOSTER, functions TOSTtwo and TOSTtwo.raw, on Moery and Calin-Jageman (2016):
// t(182) = -2.69, p = 0.004 with bounds of 0.43 pooled deviations. The other figures
// are computed apart from this program.
func TestWithin(t *testing.T) {
	a, b := Sample{N: 95, Mean: 5.25, SD: 0.95}, Sample{N: 89, Mean: 5.22, SD: 0.83}
	d := Pooled(a, b)
	near(t, "df", d.DF, 182, 0)
	near(t, "t against the upper bound", (d.Value-0.384)/d.SE, -2.69, 0.01)
	above, below := d.Within(-0.384, 0.384)
	near(t, "published chance", below, 0.004, 0.0005)
	near(t, "upper", below, 0.00397, 1e-5)
	near(t, "lower", above, 0.00099, 1e-5)
	lo, hi := d.Interval(0.90)
	near(t, "90 % from", lo, -0.1880, 1e-4)
	near(t, "90 % to", hi, 0.2480, 1e-4)

	w := Welch(a, b)
	near(t, "df apart", w.DF, 181.134, 1e-3)
	above, below = w.Within(-0.384, 0.384)
	near(t, "upper apart", below, 0.00384, 1e-5)
	near(t, "lower apart", above, 0.00095, 1e-5)
	near(t, "ordinary t", d.T(), 0.23, 0.005)
	near(t, "ordinary chance", d.P(), 0.82, 0.001)
}

// Fieller, J. R. Stat. Soc. B 16 (1954); no published example with figures is at hand,
// so these are computed from the formula apart from this program.
func TestRatios(t *testing.T) {
	lo, hi, ok := Fieller(10, 1, 20, 1, 1.959964)
	if !ok {
		t.Fatal("20 +- 1 is said not to differ from nothing")
	}
	near(t, "from", lo, 0.394646, 1e-6)
	near(t, "to", hi, 0.615050, 1e-6)
	if _, _, ok := Fieller(10, 1, 1, 1, 1.959964); ok {
		t.Error("a ratio to 1 +- 1 has an interval")
	}
	fast, off := SampleOf(houseFast), SampleOf(houseOff)
	vf, vo := fast.SD*fast.SD/6, off.SD*off.SD/5
	lo, hi, ok = Fieller(off.Mean, vo, fast.Mean, vf, 2.293744)
	near(t, "house ratio from", lo, 0.812009, 1e-6)
	near(t, "house ratio to", hi, 0.859138, 1e-6)
	if !ok {
		t.Error("the house ratio has no interval")
	}
	lo, hi = LogRatio(off.Mean, vo, fast.Mean, vf, 2.293744)
	near(t, "house log ratio from", lo, 0.812128, 1e-6)
	near(t, "house log ratio to", hi, 0.859255, 1e-6)
}

func TestWilson(t *testing.T) {
	// Newcombe, Statistics in Medicine 17 (1998), table I, method 3.
	for _, c := range []struct {
		k, n   int
		lo, hi float64
	}{{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}} {
		s := Wilson(c.k, c.n, 0.95)
		near(t, "from", s.Lo, c.lo, 5e-5)
		near(t, "to", s.Hi, c.hi, 5e-5)
		near(t, "share", s.Value, float64(c.k)/float64(c.n), 0)
	}
	// NIST/SEMATECH e-Handbook, 7.2.4.1: 26 defective of 200, one-sided 95 %; the
	// bound is from memory, that it does not exceed 0.10 is the page's conclusion.
	near(t, "NIST", Wilson(26, 200, 0.90).Lo, 0.09577, 1e-5)
	if s := Wilson(7, 7, 0.95); s.Hi != 1 || s.Lo <= 0 {
		t.Errorf("all of 7: %+v", s)
	}
}

// The chance of a next reading, with what must hold of it.
func TestNextBetween(t *testing.T) {
	// By hand: cells 48.5..52.5 of a scale 1.140175 sqrt(6/5) = 1.249000 about 50.4 with
	// 4 degrees of freedom: t from -1.521217 to 1.681345. F of Student's t with 4 is
	// closed: F(t) = 1/2 + 3/8 w (1 - w^2/12) with w = t/sqrt(1+t^2/4), by integration.
	closed := func(t float64) float64 {
		w := t / math.Sqrt(1+t*t/4)
		return 0.5 + 3.0/8*w*(1-w*w/12)
	}
	next := evidence.Estimate{Value: 50.4, Scale: 1.140175425099138 * math.Sqrt(1.2), DF: 4}
	want := closed((52.5-50.4)/next.Scale) - closed((48.5-50.4)/next.Scale)
	near(t, "chance of 48.33 to 52.33", nextBetween(next, 1, 48.3333, 52.3333), want, 1e-12)
	near(t, "chance of 49 to 52", nextBetween(next, 1, 49, 52), want, 1e-12)
	if got := nextBetween(next, 1, 49.2, 49.8); got != 0 {
		t.Errorf("no whole number from 49.2 to 49.8 and yet a chance of %v", got)
	}
	if fine := nextBetween(next, 0.1, 49.2, 49.8); fine <= 0 {
		t.Error("a display of tenths never shows 49.2 to 49.8")
	}
	// The cells share all chance out among them.
	var sum float64
	for v := -400.0; v <= 500; v++ {
		sum += nextBetween(next, 1, v, v)
	}
	near(t, "sum over the cells", sum, 1, 1e-6)
}
