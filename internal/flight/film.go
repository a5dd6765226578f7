package flight

import (
	"math"

	"tenoff/internal/bullpen"
)

// FilmSpeed is the release speed that a time of flight taken from film means, and
// how much it moves with each of its inputs.
type FilmSpeed struct {
	Speed bullpen.Speed
	// PerSecond, PerMetre and PerDrag are dv/dT, dv/dD and dv/dk: mph for one
	// second more, one metre more, and one 1/m more.
	PerSecond, PerMetre, PerDrag float64
}

// SpeedOf solves T = (e^(k D) - 1)/(k v) for the release speed v of a ball that
// took the given seconds, > 0, along the way. The sensitivities are the partial
// derivatives for the law of propagation of uncertainty (JCGM 100:2008, 5.1.2):
//
//	dv/dT = -v/T
//	dv/dD = v k e^(kD)/(e^(kD) - 1)
//	dv/dk = v (D e^(kD)/(e^(kD) - 1) - 1/k), which is v D/2 where k D is nothing
func SpeedOf(way bullpen.Way, seconds float64) FilmSpeed {
	v := float64(way.Release(seconds))
	f := FilmSpeed{Speed: bullpen.Speed(v), PerSecond: -v / seconds}
	x := way.Drag * way.Metres
	if x < 1e-4 { // the series of x/(1-e^-x) - 1 = x/2 + x^2/12 - ...
		f.PerMetre = v / way.Metres * (1 + x/2 + x*x/12)
		f.PerDrag = v * way.Metres * (0.5 + x/12)
		return f
	}
	rise := -1 / math.Expm1(-x) // e^x/(e^x - 1)
	f.PerMetre = v * way.Drag * rise
	f.PerDrag = v * (way.Metres*rise - 1/way.Drag)
	return f
}

// Uncertainty returns the standard uncertainty of the speed, from the standard
// uncertainties of the time in seconds, of the way in metres and of k in 1/m,
// taken as independent (JCGM 100:2008, equation 10).
func (f FilmSpeed) Uncertainty(seconds, metres, drag float64) bullpen.Speed {
	return bullpen.Speed(math.Hypot(math.Hypot(f.PerSecond*seconds, f.PerMetre*metres), f.PerDrag*drag))
}
