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
	s := math.Max(f.SD, u) * math.Sqrt(1+1/n)
	d := math.Log(t) - f.Mean
	p.Within = math.Abs(d) <= bullpen.TQuantile(0.975, n-1)*s
	if among {
		d *= n / (n + 1)
	}
	p.Percent = 100 * math.Exp(-d)
	p.U = p.Percent * s
	return p, true
}
