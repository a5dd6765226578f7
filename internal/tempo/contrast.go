package tempo

import (
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/evidence"
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

// shown returns the contrast as its range is shown, in whole per cent of speed. What is
// said of a contrast follows from this, so that the same range has the same word.
func (c Contrast) shown() Contrast {
	if math.IsInf(c.U, 1) {
		return c
	}
	whole := func(log float64) float64 { return -math.Log(math.Max(math.Round(100*math.Exp(-log)), 1) / 100) }
	lo, hi := whole(c.Lo()), whole(c.Hi())
	c.Log, c.U = (lo+hi)/2, (hi-lo)/2
	return c
}

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

// compare returns the contrast between off-speed reps and her own fastballs. bias is the
// share of BiasOf. With fewer than two laps on a side there is no interval and ok is false.
//
// Each off-speed rep is held against the fastballs' line at its own place in the bullpen,
// so that a pitcher who slows down while she throws is not taken for one who slows down
// for the pitch. Log is the mean of these differences; its variance is that of the line's
// level at their mean place, and that of a mean of values. How widely either side's reps lie
// is known from them, from the other side's, for who scatters widely does so with every
// pitch, and from what was known beforehand (evidence.Scatter.Beside): each side by itself
// was drawn so far towards that that the interval of a pitcher who scatters more widely held
// too seldom. Degrees of freedom are Welch and Satterthwaite's (JCGM 100:2008, G.4.1), which
// wants variances that are independent: here each rests on the other a little, and 8 and 8
// reps come to 19.9 degrees where all that is known of them makes 18, so that an interval is
// 1 % too narrow at most, which simulation covers. It is widened in quadrature by
// bias*|Log| + 0.005.
func (o herFastballs) compare(off []lapTime, bias float64) (c Contrast, ok bool) {
	c = Contrast{Fast: len(o.laps), Off: len(off), Bias: bias, U: math.Inf(1)}
	if len(o.laps) == 0 || len(off) == 0 {
		return c, false
	}
	d := make([]float64, len(off))
	var place, u2 float64
	for i, l := range off {
		d[i] = l.log - o.at(l.place).Value
		place += l.place / float64(len(off))
		u2 += l.u * l.u / float64(len(off))
	}
	s := bullpen.SampleOf(d)
	c.Log = s.Mean
	if len(o.laps) < 2 || len(off) < 2 {
		return c, false
	}
	other := evidence.ScatterOf(d, otherSpread, u2)
	line := o.line.Beside(other)
	level := line.Level(0, place)
	c.Log += o.at(place).Value - level.Value // the slope is known otherwise beside them
	own := line.Scatter()
	ownRatio, ownDF := own.Beside(other, evidence.UsualWorth)
	ratio, df := other.Beside(own, evidence.UsualWorth)
	fast, v := square(ownRatio)*(square(ownSpread)+o.known()), square(ratio)*(square(otherSpread)+u2)
	mean := evidence.Estimate{Scale: math.Sqrt(v / float64(s.N)), DF: df}
	c.Spread = math.Sqrt((ownDF*fast + df*v) / (ownDF + df))
	c.U = c.widened(difference(level, mean))
	return c, true
}

// difference is that of two independent estimates, with Welch and Satterthwaite's degrees
// of freedom.
func difference(a, b evidence.Estimate) bullpen.Difference {
	va, vb := a.Scale*a.Scale, b.Scale*b.Scale
	return bullpen.Difference{SE: math.Sqrt(va + vb), DF: square(va+vb) / (va*va/a.DF + vb*vb/b.DF)}
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
// ones so far, fastballs and others in turn; less than none is none. Spreads are known
// beforehand for as much as they are in compare.
func (c Contrast) plus(fast, off int) Contrast {
	c.Fast, c.Off = c.Fast+max(fast, 0), c.Off+max(off, 0)
	side := func(n, others int) evidence.Estimate {
		reps := func(n int) evidence.Scatter { return evidence.Scatter{Levels: 1, Free: float64(n - 1)} }
		_, df := reps(n).Beside(reps(others), evidence.UsualWorth)
		return evidence.Estimate{Scale: c.Spread / math.Sqrt(float64(n)), DF: df}
	}
	c.U = c.widened(difference(side(c.Fast, c.Off), side(c.Off, c.Fast)))
	return c
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
