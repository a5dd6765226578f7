package evidence

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Estimate is what is known of a number: Student's t with DF degrees of freedom, about
// Value, in units of Scale.
type Estimate struct {
	Value float64
	Scale float64 // >= 0
	DF    float64 // > 2 of every estimate of a Line, but for Next of a group of one; +Inf for a normal one
}

// asNormal is from how many degrees of freedom on Student's t is taken as normal, at a
// fraction of the cost. The two differ by phi(z)(z^3+z)/(4 DF) at most, which is under
// 0.16/DF (the first term of the expansion in 1/DF).
const asNormal = 1e6

func (e Estimate) student() distuv.StudentsT { return distuv.StudentsT{Sigma: 1, Nu: e.DF} }

// U returns the standard uncertainty: the distribution's standard deviation, which for
// few degrees of freedom is more than its scale (JCGM 101:2008, 6.4.9.4). +Inf for two
// degrees of freedom and fewer.
func (e Estimate) U() float64 {
	switch {
	case math.IsInf(e.DF, 1):
		return e.Scale
	case e.DF <= 2:
		return math.Inf(1)
	}
	return e.Scale * math.Sqrt(e.DF/(e.DF-2))
}

// AsWide returns what would be known of the number if the reps that it is known from
// happened to lie closer together than hers do, and hers scattered as widely as they do at
// most with the given chance, 0..1: a normal estimate whose deviation is the upper limit
// sqrt(DF/q) Scale, q the quantile of chi-squared at 1-chance (NIST/SEMATECH e-Handbook,
// 7.2.3.1, from memory).
func (e Estimate) AsWide(chance float64) Estimate {
	if e.DF <= asNormal {
		e.Scale *= math.Sqrt(e.DF / distuv.ChiSquared{K: e.DF}.Quantile(1-chance))
	}
	e.DF = math.Inf(1)
	return e
}

// Below returns the chance, 0..1, that the number is at most x.
func (e Estimate) Below(x float64) float64 {
	if e.Scale == 0 { // known without doubt
		if x >= e.Value {
			return 1
		}
		return 0
	}
	z := (x - e.Value) / e.Scale
	if e.DF > asNormal {
		return distuv.UnitNormal.CDF(z)
	}
	return e.student().CDF(z)
}

// Density returns the chance density of the number at x, per unit.
func (e Estimate) Density(x float64) float64 {
	z := (x - e.Value) / e.Scale
	if math.IsInf(e.DF, 1) {
		return distuv.UnitNormal.Prob(z) / e.Scale
	}
	return e.student().Prob(z) / e.Scale
}

// Between returns the chance, 0..1, that the number lies from lo to hi, lo <= hi.
func (e Estimate) Between(lo, hi float64) float64 {
	return max(0, e.Below(hi)-e.Below(lo))
}

// Interval returns the middle interval that holds the number with the given chance,
// 0..1.
func (e Estimate) Interval(chance float64) (lo, hi float64) {
	q := distuv.UnitNormal.Quantile(0.5 + chance/2)
	if !math.IsInf(e.DF, 1) {
		q = e.student().Quantile(0.5 + chance/2)
	}
	return e.Value - q*e.Scale, e.Value + q*e.Scale
}

// IsClear says whether the interval of the given chance, 0..1, leaves nothing out: the
// number is more than nothing, or it is less.
func (e Estimate) IsClear(chance float64) bool {
	lo, hi := e.Interval(chance)
	return lo > 0 || hi < 0
}

// Minus returns the estimate less x, a number that is known.
func (e Estimate) Minus(x float64) Estimate {
	e.Value -= x
	return e
}

// From returns x, a number that is known, less the estimate.
func (e Estimate) From(x float64) Estimate {
	e.Value = x - e.Value
	return e
}

// Blurred returns the estimate with an independent error of the given variance, >= 0,
// added: one that is known, as of a gun's gain, and so adds to the degrees of freedom
// (Welch and Satterthwaite's formula, JCGM 100:2008, G.4.1).
func (e Estimate) Blurred(variance float64) Estimate {
	if variance <= 0 {
		return e
	}
	own := e.Scale * e.Scale
	share := own / (own + variance)
	e.DF /= share * share
	e.Scale = math.Sqrt(own + variance)
	return e
}

// BlurredBy returns the estimate with an independent error added, as Blurred, whose size is
// itself known with so many degrees of freedom; its value is left out.
func (e Estimate) BlurredBy(off Estimate) Estimate {
	a, b := e.Scale*e.Scale, off.Scale*off.Scale
	if b == 0 {
		return e
	}
	e.Scale, e.DF = math.Sqrt(a+b), (a+b)*(a+b)/(a*a/e.DF+b*b/off.DF)
	return e
}

// Widened returns the estimate with an independent error of the given variance, >= 0,
// added: one whose size is learned from the same reps, so that the degrees of freedom
// stay.
func (e Estimate) Widened(variance float64) Estimate {
	e.Scale = math.Hypot(e.Scale, math.Sqrt(variance))
	return e
}

// Given returns what is known of the number when others like it lie about where the
// normal estimate before says: the two weighted by their precision, 1/Scale^2 (Gelman et
// al., Bayesian Data Analysis, 3rd ed., 2013, 2.5). What is known well hardly moves; what is known
// badly is drawn towards the others, for a far number that is known badly rather is a
// nearer one. Both estimates are normal.
func (e Estimate) Given(before Estimate) Estimate {
	a, b := e.Scale*e.Scale, before.Scale*before.Scale
	if a+b == 0 {
		return e
	}
	return Estimate{Value: e.Value + (before.Value-e.Value)*a/(a+b), Scale: math.Sqrt(a * b / (a + b)), DF: math.Inf(1)}
}
