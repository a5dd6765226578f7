package tempo

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
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
}

// Lo and Hi are the ends of the 95 % interval of Log.
func (c Contrast) Lo() float64 { return c.Log - c.U }

// Hi is the upper end of the 95 % interval of Log.
func (c Contrast) Hi() float64 { return c.Log + c.U }

// Percent turns a log contrast into "per cent slower", 100 (e^x - 1).
func Percent(log float64) float64 { return 100 * math.Expm1(log) }

// Shares of the contrast by which event transfer was seen to be off at worst on
// generated film, and the floor in log units. A film from straight behind reads
// the legs low by a sixth.
const (
	BiasLegs       = 0.05
	BiasArm        = 0.12
	BiasLegsBehind = 0.20
	biasFloor      = 0.005
)

// Compare returns the contrast between the off-speed and the fastball times, all
// in seconds. Times that are not positive numbers are left out. u2 is the mean
// squared relative uncertainty of the single times, a floor under the spread that
// a handful of equal frame counts would hide. bias is one of the Bias constants.
//
// The interval is Welch's (NIST/SEMATECH e-Handbook 1.3.5.3) on the logs, widened
// in quadrature by bias*|Log| + 0.005. With fewer than two times on a side there
// is no interval and ok is false.
func Compare(fast, off []float64, u2, bias float64) (c Contrast, ok bool) {
	f, o := logs(fast), logs(off)
	c = Contrast{Fast: len(f), Off: len(o), Bias: bias, U: math.Inf(1)}
	if len(f) == 0 || len(o) == 0 {
		return c, false
	}
	c.Log = stat.Mean(o, nil) - stat.Mean(f, nil)
	if len(f) < 2 || len(o) < 2 {
		return c, false
	}
	vf, vo := math.Max(stat.Variance(f, nil), u2), math.Max(stat.Variance(o, nil), u2)
	nf, no := float64(len(f)), float64(len(o))
	c.Spread = math.Sqrt(((nf-1)*vf + (no-1)*vo) / (nf + no - 2))
	a, b := vf/nf, vo/no
	half := biasFloor + bias*math.Abs(c.Log)
	if a+b > 0 {
		df := (a + b) * (a + b) / (a*a/(nf-1) + b*b/(no-1))
		half = math.Hypot(half, quantile(0.975, df)*math.Sqrt(a+b))
	}
	c.U = half
	return c, true
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

// quantile is Student's t quantile.
func quantile(p, df float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(p)
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
	return (quantile(0.975, df) + quantile(0.80, df)) * math.Hypot(spread, u) * math.Sqrt(2/float64(n))
}

// halfWidth is what U would be with n reps on each side.
func (c Contrast) halfWidth(n int) float64 {
	t := quantile(0.975, float64(2*n-2)) * c.Spread * math.Sqrt(2/float64(n))
	return math.Hypot(t, biasFloor+c.Bias*math.Abs(c.Log))
}
