package flight

import (
	"math"

	"tenoff/internal/bullpen"
)

// OffLine returns what a gun reads whose beam meets the ball's path at the given
// angle in degrees: v cos(angle), always low. A gap in mph shrinks by as much; the
// reading as per cent of the baseline does not change.
func OffLine(v bullpen.Speed, degrees float64) bullpen.Speed {
	return v * bullpen.Speed(math.Cos(degrees*math.Pi/180))
}

// Doppler returns the tone in Hz that a gun of the given frequency in Hz hears from
// a ball coming straight at it, 2 v f/c: what a tuning fork checks it by.
func Doppler(v bullpen.Speed, frequency float64) float64 {
	const c = 299792458 // m/s, exact
	return 2 * v.MetresPerSecond() * frequency / c
}
