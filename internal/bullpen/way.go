package bullpen

import "math"

// metresPerFoot is exact (NIST SP 811, appendix B.8).
const metresPerFoot = 0.3048

// Way is a ball's way from the hand to the plate, and how the air slows it: all that
// tenoff knows of a ball's flight. The model is quadratic drag along a straight line,
// dv/dt = -k v^2 with constant k. The weather is not asked for: 10 % of the air's density
// moves a 43 ft time of flight by half a per cent.
type Way struct {
	Metres float64 // from release to the plate, > 0
	Drag   float64 // k of dv/dx = -k v, 1/m, >= 0
}

// Way returns the way of p's pitches: her distance less her extension, with the
// drag of her ball at sea level. ok is false if her distance, extension or ball is
// missing or makes no sense.
func (p Pitcher) Way() (w Way, ok bool) {
	ball, known := BallKindOf(p.BallKind)
	w = Way{Metres: (p.DistanceFeet - p.Extension()) * metresPerFoot, Drag: ball.Drag(SeaLevel)}
	return w, known && p.Extension() >= 0 && w.Metres > 0.3 && w.Metres < 100
}

// FeetMore returns how many feet longer than p's way one of so many metres is.
func (p Pitcher) FeetMore(metres float64) float64 {
	return metres/metresPerFoot - (p.DistanceFeet - p.Extension())
}

// reach is the length (e^(k x) - 1)/k, metres: what the way would measure to a
// ball that the air does not slow. It is x where k x is nothing.
func (w Way) reach() float64 {
	if kx := w.Drag * w.Metres; kx > 1e-12 {
		return math.Expm1(kx) / w.Drag
	}
	return w.Metres
}

// Seconds returns how long a ball released at v takes to the plate:
// t = (e^(k x) - 1)/(k v), from dv/dt = -k v^2 in one dimension. Gravity makes the
// path less than 1 % longer and is left out. Textbook: Serway & Jewett, Physics
// for Scientists and Engineers, chapter 6 (from memory). +Inf for v <= 0.
func (w Way) Seconds(v Speed) float64 {
	if v <= 0 {
		return math.Inf(1)
	}
	return w.reach() / v.MetresPerSecond()
}

// Later returns how many milliseconds after the fast ball the slow one reaches the
// plate when both are released at the same instant; negative if it is the faster.
func (w Way) Later(fast, slow Speed) float64 {
	return 1000 * (w.Seconds(slow) - w.Seconds(fast))
}

// MetresAfter returns how far a ball released at v has come after the given seconds,
// x = ln(1 + k v t)/k, beyond the end of the way too.
func (w Way) MetresAfter(v Speed, seconds float64) float64 {
	x := v.MetresPerSecond() * seconds
	if kx := w.Drag * x; kx > 1e-12 {
		return math.Log1p(kx) / w.Drag
	}
	return x
}

// Release returns the release speed of a ball that took the given seconds, > 0.
func (w Way) Release(seconds float64) Speed {
	return Speed(w.reach() / seconds / metresPerSecondPerMPH)
}
