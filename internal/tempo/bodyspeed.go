package tempo

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// Pace is one rep's speed of legs or arm, in per cent of the pitcher's own
// fastballs in the same bullpen: 100 x fastball time / this rep's time.
type Pace struct {
	Percent float64
	U       float64 // standard uncertainty, percentage points
	// Within is true while the rep lies inside the spread of her own fastballs (the
	// 95 % interval for one more fastball).
	Within bool
}

// PaceOf returns the pace of a rep that took t seconds against fastballs that
// took the given seconds. u is the rep's own measurement uncertainty relative to
// t. It needs three fastballs; ok is false with fewer, or if t is not known.
//
// The uncertainty is the spread of the fastballs' logs s, which already holds the
// body's scatter and the method's, with that of their mean: s*sqrt(1 + 1/n).
func PaceOf(t float64, fast []float64, u float64) (p Pace, ok bool) {
	f := logs(fast)
	if !(t > 0) || len(f) < 3 {
		return Pace{}, false
	}
	n := float64(len(f))
	s := math.Max(stat.StdDev(f, nil), u)
	s *= math.Sqrt(1 + 1/n)
	d := math.Log(t) - stat.Mean(f, nil)
	p.Percent = 100 * math.Exp(-d)
	p.U = p.Percent * s
	p.Within = math.Abs(d) <= quantile(0.975, n-1)*s
	return p, true
}
