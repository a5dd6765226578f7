package flight

import (
	"math"

	"tenoff/internal/bullpen"
)

// SpeedAt returns the speed of a ball released at v after the given metres,
// v e^(-k x).
func SpeedAt(way bullpen.Way, v bullpen.Speed, metres float64) bullpen.Speed {
	return bullpen.Speed(float64(v) * math.Exp(-way.Drag*metres))
}

// PlateSpeed returns the speed at the end of the way of a ball released at v.
func PlateSpeed(way bullpen.Way, v bullpen.Speed) bullpen.Speed {
	return SpeedAt(way, v, way.Metres)
}

// Loss returns the share of its speed that a ball loses on the way, 0..1; it does
// not depend on the speed.
func Loss(way bullpen.Way) float64 { return -math.Expm1(-way.Drag * way.Metres) }

// MetresAfter returns how far a ball released at v has come after the given
// seconds, x = ln(1 + k v t)/k, beyond the end of the way too.
func MetresAfter(way bullpen.Way, v bullpen.Speed, seconds float64) float64 {
	x := v.MetresPerSecond() * seconds
	if kx := way.Drag * x; kx > 1e-12 {
		return math.Log1p(kx) / way.Drag
	}
	return x
}
