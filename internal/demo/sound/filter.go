package sound

import "math"

// Rate is the rate everything is made at, samples a second.
const Rate = 48000

// The band that a pop stands out in, Hz.
const (
	bandLow  = 900.0
	bandHigh = 8000.0
)

// filter is a second-order section.
type filter struct{ b0, b1, b2, a1, a2, x1, x2, y1, y2 float64 }

// The sections of R. Bristow-Johnson's Audio EQ Cookbook (W3C Note, 2021).

func lowPass(hz, q float64) filter {
	w := 2 * math.Pi * hz / Rate
	sn, cs := math.Sincos(w)
	al := sn / (2 * q)
	return normal((1-cs)/2, 1-cs, (1-cs)/2, 1+al, -2*cs, 1-al)
}

func highPass(hz, q float64) filter {
	w := 2 * math.Pi * hz / Rate
	sn, cs := math.Sincos(w)
	al := sn / (2 * q)
	return normal((1+cs)/2, -(1 + cs), (1+cs)/2, 1+al, -2*cs, 1-al)
}

// bandPass has a gain of one at its middle.
func bandPass(hz, q float64) filter {
	w := 2 * math.Pi * hz / Rate
	sn, cs := math.Sincos(w)
	al := sn / (2 * q)
	return normal(al, 0, -al, 1+al, -2*cs, 1-al)
}

func normal(b0, b1, b2, a0, a1, a2 float64) filter {
	return filter{b0: b0 / a0, b1: b1 / a0, b2: b2 / a0, a1: a1 / a0, a2: a2 / a0}
}

func (f *filter) next(x float64) float64 {
	y := f.b0*x + f.b1*f.x1 + f.b2*f.x2 - f.a1*f.y1 - f.a2*f.y2
	f.x2, f.x1, f.y2, f.y1 = f.x1, x, f.y1, y
	return y
}

// inBand returns the samples as the band lets them through.
func inBand(x []float32) []float32 {
	hi, lo := highPass(bandLow, math.Sqrt2/2), lowPass(bandHigh, math.Sqrt2/2)
	out := make([]float32, len(x))
	for i, v := range x {
		out[i] = float32(lo.next(hi.next(float64(v))))
	}
	return out
}

// loudest returns the root mean square of the loudest 10 ms in the band.
func loudest(x []float32) float64 {
	const window = Rate / 100
	y := inBand(x)
	var sum, most float64
	for i, v := range y {
		sum += float64(v) * float64(v)
		if i >= window {
			sum -= float64(y[i-window]) * float64(y[i-window])
		}
		most = max(most, sum)
	}
	return math.Sqrt(most / window)
}
