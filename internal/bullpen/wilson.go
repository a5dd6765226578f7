package bullpen

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Wilson returns k of n as a share with Wilson's score interval at the given
// two-sided confidence, 0..1 (Wilson, J Am Stat Assoc 22, 1927; NIST/SEMATECH
// e-Handbook of Statistical Methods, 7.2.4.1). It stays inside 0..1 and is honest
// for few reps and for all or none. n > 0, 0 <= k <= n.
func Wilson(k, n int, confidence float64) Share {
	z := distuv.UnitNormal.Quantile(0.5 + confidence/2)
	p, m := float64(k)/float64(n), float64(n)
	mid := p + z*z/(2*m)
	half := z * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	whole := 1 + z*z/m
	s := Share{Value: p, Lo: max(0, (mid-half)/whole), Hi: min(1, (mid+half)/whole)}
	switch k { // where rounding would leave 1e-17 of a bound that is exact
	case 0:
		s.Lo = 0
	case n:
		s.Hi = 1
	}
	return s
}
