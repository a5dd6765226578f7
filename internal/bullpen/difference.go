package bullpen

import "math"

// Difference is the difference of two means with what is known of its error.
type Difference struct {
	Value float64 // first mean - second mean
	SE    float64 // standard error, > 0 if either sample has a spread
	DF    float64 // degrees of freedom of the standard error
}

// Pooled compares two samples that share one spread: Student's two-sample t
// (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.3). Both need a number
// at least, and one of them two.
func Pooled(a, b Sample) Difference {
	na, nb := float64(a.N), float64(b.N)
	df := na + nb - 2
	variance := ((na-1)*a.SD*a.SD + (nb-1)*b.SD*b.SD) / df
	return Difference{Value: a.Mean - b.Mean, SE: math.Sqrt(variance * (1/na + 1/nb)), DF: df}
}

// Welch compares two samples that may differ in spread, with Satterthwaite's
// degrees of freedom (NIST/SEMATECH e-Handbook, 1.3.5.3). Both need two numbers
// at least.
func Welch(a, b Sample) Difference {
	va, vb := a.SD*a.SD/float64(a.N), b.SD*b.SD/float64(b.N)
	d := Difference{Value: a.Mean - b.Mean, SE: math.Sqrt(va + vb), DF: float64(a.N + b.N - 2)}
	if va+vb > 0 {
		ra, rb := va/(va+vb), vb/(va+vb) // shares, so that tiny variances do not vanish squared
		d.DF = 1 / (ra*ra/float64(a.N-1) + rb*rb/float64(b.N-1))
	}
	return d
}

// T returns the test statistic against no difference.
func (d Difference) T() float64 { return d.Value / d.SE }

// P returns the two-sided chance of a difference at least this large if there were
// none.
func (d Difference) P() float64 { return 2 * TBelow(-math.Abs(d.T()), d.DF) }

// Interval returns the two-sided interval at the given confidence, 0..1.
func (d Difference) Interval(confidence float64) (lo, hi float64) {
	half := TQuantile(0.5+confidence/2, d.DF) * d.SE
	return d.Value - half, d.Value + half
}

// Within tests by two one-sided tests whether the difference lies inside lo..hi
// (Schuirmann, J Pharmacokinet Biopharm 15, 1987): above is the chance of such
// data if it were at lo or less, below if it were at hi or more. Both under alpha
// mean inside, which is the same as the 1-2 alpha interval lying inside.
func (d Difference) Within(lo, hi float64) (above, below float64) {
	return TBelow(-(d.Value-lo)/d.SE, d.DF), TBelow((d.Value-hi)/d.SE, d.DF)
}

// Fieller returns the interval of the ratio a/b of two independent estimates with
// variances va and vb, at the t quantile t (Fieller, J. R. Stat. Soc. B 16, 175, 1954).
// ok is false if b cannot be told from nothing, when the interval has no bounds.
func Fieller(a, va, b, vb, t float64) (lo, hi float64, ok bool) {
	g := t * t * vb / (b * b)
	if !(g < 1) {
		return 0, 0, false
	}
	r := a / b
	half := t / math.Abs(b) * math.Sqrt(va+r*r*vb-g*va)
	return (r - half) / (1 - g), (r + half) / (1 - g), true
}

// LogRatio returns the interval of the ratio a/b, a and b > 0, on the logarithm's
// scale: a/b e^(-+t u) with u^2 = va/a^2 + vb/b^2 (JCGM 100:2008, 5.1.6).
func LogRatio(a, va, b, vb, t float64) (lo, hi float64) {
	u := math.Sqrt(va/(a*a) + vb/(b*b))
	return a / b * math.Exp(-t*u), a / b * math.Exp(t*u)
}
