package tempo

import (
	"math"

	"tenoff/internal/bullpen"
)

// Pace is one rep's speed of legs or arm, in per cent of the pitcher's own
// fastballs in the same bullpen: 100 x fastball time / this rep's time.
type Pace struct {
	Percent float64 `json:"percent"`
	U       float64 `json:"u"` // standard uncertainty, percentage points
	// Within is true while the rep lies inside the spread of her own fastballs (the
	// 95 % interval for one more fastball).
	Within bool `json:"within"`
}

// PaceOf returns the pace of a rep that took t seconds against fastballs that
// took the given seconds, of which it is none itself. u is the rep's own
// measurement uncertainty relative to t. among says that it is a fastball too: its
// per cent is then counted from the mean of all of them, itself included. It needs
// three other fastballs; ok is false with fewer, or if t is not known.
//
// The uncertainty is the spread of the fastballs' logs s, which already holds the
// body's scatter and the method's, with that of their mean: s*sqrt(1 + 1/n).
func PaceOf(t float64, fast []float64, u float64, among bool) (p Pace, ok bool) {
	f := bullpen.SampleOf(logs(fast))
	if !(t > 0) || math.IsInf(t, 1) || f.N < 3 {
		return Pace{}, false
	}
	n := float64(f.N)
	s, reach := oneMore(f, u)
	d := math.Log(t) - f.Mean
	p.Within = math.Abs(d) <= reach
	if among {
		d *= n / (n + 1)
	}
	p.Percent = 100 * math.Exp(-d)
	p.U = p.Percent * s
	return p, true
}

// oneMore returns the standard uncertainty and the half-width of the 95 % interval
// of one more value beside the sample f, of at least two, whose values are each
// known to u.
func oneMore(f bullpen.Sample, u float64) (s, reach float64) {
	n := float64(f.N)
	s = math.Max(f.SD, u) * math.Sqrt(1+1/n)
	return s, bullpen.TQuantile(0.975, n-1) * s
}

// Spread is between which body speeds one more of the pitcher's own fastballs would
// lie 95 times of 100, in per cent of their mean.
type Spread struct {
	Lo float64 `json:"lo"`
	Hi float64 `json:"hi"`
}

// SpreadOf returns the spread of fastballs that took the given seconds, each known
// to u relative to it: what PaceOf's Within is measured by. It needs three; ok is
// false with fewer.
func SpreadOf(fast []float64, u float64) (s Spread, ok bool) {
	f := bullpen.SampleOf(logs(fast))
	if f.N < 3 {
		return Spread{}, false
	}
	_, reach := oneMore(f, u)
	return Spread{Lo: 100 * math.Exp(-reach), Hi: 100 * math.Exp(reach)}, true
}
