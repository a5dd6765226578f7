package trace

import (
	"math"
	"slices"
)

// section is one second-order section of a digital filter; a0 is 1.
type section struct{ b0, b1, b2, a1, a2 float64 }

// bandPass returns a third-order Butterworth high-pass at low Hz followed by a
// third-order Butterworth low-pass at high Hz, by the bilinear transform
// (Oppenheim and Schafer, Discrete-Time Signal Processing, chapter 7).
func bandPass(low, high, rate float64) []section {
	high = min(high, 0.45*rate)
	var out []section
	for _, s := range [...]struct {
		hz   float64
		high bool
	}{{low, true}, {high, false}} {
		k := math.Tan(math.Pi * s.hz / rate)
		// A third-order Butterworth is a pole at -1 and a pair of quality 1.
		n1, n2 := 1/(1+k), 1/(1+k+k*k)
		if s.high {
			out = append(out,
				section{b0: n1, b1: -n1, a1: (k - 1) * n1},
				section{b0: n2, b1: -2 * n2, b2: n2, a1: 2 * (k*k - 1) * n2, a2: (1 - k + k*k) * n2})
			continue
		}
		out = append(out,
			section{b0: k * n1, b1: k * n1, a1: (k - 1) * n1},
			section{b0: k * k * n2, b1: 2 * k * k * n2, b2: k * k * n2, a1: 2 * (k*k - 1) * n2, a2: (1 - k + k*k) * n2})
	}
	return out
}

// toAndFro filters y in place forwards, then backwards, so that nothing is
// delayed.
func toAndFro(filter []section, y []float64) {
	for range 2 {
		for _, s := range filter {
			var z1, z2 float64
			for i, x := range y {
				v := s.b0*x + z1
				z1 = s.b1*x - s.a1*v + z2
				z2 = s.b2*x - s.a2*v
				y[i] = v
			}
		}
		slices.Reverse(y)
	}
}
