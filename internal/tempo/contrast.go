package tempo

import (
	"math"

	"tenoff/internal/bullpen"
)

// Contrast compares the times of off-speed reps with those of the pitcher's own
// fastballs, as the difference of the means of their natural logarithms: 0.10 is
// 10.5 % slower, negative is faster.
type Contrast struct {
	Fast, Off int     // reps on each side
	Log       float64 // difference of mean logs
	U         float64 // half-width of the 95 % interval of Log, with the method's own bias in it
	Spread    float64 // pooled standard deviation of the logs, rep to rep
	Bias      float64 // share of |Log| that the method may be off by
	Unlike    float64 // what U holds for motion that was found but is of another shape, log units
}

// Lo returns the lower end of the 95 % interval of Log.
func (c Contrast) Lo() float64 { return c.Log - c.U }

// Hi returns the upper end of the 95 % interval of Log.
func (c Contrast) Hi() float64 { return c.Log + c.U }

// Percent turns a log contrast into "per cent slower", 100 (e^x - 1).
func Percent(log float64) float64 { return 100 * math.Expm1(log) }

// Bias is the share of the contrast by which event transfer was seen to be off at
// worst on generated film.
type Bias struct{ Legs, Arm float64 }

// BiasOf returns the bias from a view. A film from straight behind reads the legs
// low by a sixth; one from nobody knows where may be from behind.
func BiasOf(v bullpen.View) Bias {
	if v == bullpen.ViewSide || v == bullpen.ViewDiagonal {
		return Bias{Legs: 0.05, Arm: 0.12}
	}
	return Bias{Legs: 0.20, Arm: 0.12}
}

// biasFloor is what the method may be off by whatever the contrast, log units.
const biasFloor = 0.005

// Compare returns the contrast between the off-speed and the fastball times, all
// in seconds. Times that are not positive numbers are left out. u2 is the mean
// squared relative uncertainty of the single times, a floor under the spread that
// a handful of equal frame counts would hide. bias is the share of BiasOf.
//
// The interval is Welch's (NIST/SEMATECH e-Handbook 1.3.5.3) on the logs, widened
// in quadrature by bias*|Log| + 0.005. With fewer than two times on a side there
// is no interval and ok is false.
func Compare(fast, off []float64, u2, bias float64) (c Contrast, ok bool) {
	f, o := bullpen.SampleOf(logs(fast)), bullpen.SampleOf(logs(off))
	c = Contrast{Fast: f.N, Off: o.N, Bias: bias, U: math.Inf(1)}
	if f.N == 0 || o.N == 0 {
		return c, false
	}
	c.Log = o.Mean - f.Mean
	if f.N < 2 || o.N < 2 {
		return c, false
	}
	f.SD, o.SD = math.Max(f.SD, math.Sqrt(u2)), math.Max(o.SD, math.Sqrt(u2))
	nf, no := float64(f.N), float64(o.N)
	c.Spread = math.Sqrt(((nf-1)*f.SD*f.SD + (no-1)*o.SD*o.SD) / (nf + no - 2))
	c.U = c.widened(bullpen.Welch(o, f))
	return c, true
}

// laidOver returns the contrast with its interval widened in quadrature for motion
// that is unlike the fastballs' by so much less of a match (both ends' correlations
// together). An off-speed posture moves the found instants whatever the tempo; on
// generated film by no more, in log units, than the matches fall short.
func (c Contrast) laidOver(unlike float64) Contrast {
	c.Unlike = unlike
	c.U = math.Hypot(c.U, unlike)
	return c
}

// widened returns the half-width of d's 95 % interval with the bias in it.
func (c Contrast) widened(d bullpen.Difference) float64 {
	half := math.Hypot(biasFloor+c.Bias*math.Abs(c.Log), c.Unlike)
	if d.SE > 0 {
		half = math.Hypot(half, bullpen.TQuantile(0.975, d.DF)*d.SE)
	}
	return half
}

// with returns the contrast as it would be with at least n reps on each side that
// look like the ones so far.
func (c Contrast) with(n int) Contrast { return c.plus(n-c.Fast, n-c.Off) }

// plus returns the contrast as it would be with so many more reps that look like the
// ones so far; less than none is none.
func (c Contrast) plus(fast, off int) Contrast {
	c.Fast, c.Off = c.Fast+max(fast, 0), c.Off+max(off, 0)
	c.U = c.widened(bullpen.Welch(bullpen.Sample{N: c.Off, SD: c.Spread}, bullpen.Sample{N: c.Fast, SD: c.Spread}))
	return c
}

func logs(times []float64) []float64 {
	var out []float64
	for _, t := range times {
		if t > 0 && !math.IsInf(t, 1) {
			out = append(out, math.Log(t))
		}
	}
	return out
}

// LeastFound returns the smallest log slow-down that n fastballs against n
// off-speed reps find with 80 % power at the 5 % level, for a rep-to-rep spread
// and a measurement uncertainty in log units:
//
//	(t.975 + t.80)(2n-2) * sqrt(spread^2 + u^2) * sqrt(2/n)
//
// (the usual two-sample power formula, e.g. NIST/SEMATECH e-Handbook 7.2.2.2, from
// memory). n must be at least 2.
func LeastFound(n int, spread, u float64) float64 {
	df := float64(2*n - 2)
	return (bullpen.TQuantile(0.975, df) + bullpen.TQuantile(0.80, df)) * math.Hypot(spread, u) * math.Sqrt(2/float64(n))
}
