package paint

import "math"

// lattice returns a number in [-1, 1] that belongs to a lattice point.
func lattice(x, y int32, seed uint32) float64 {
	h := uint32(x)*0x85ebca6b ^ uint32(y)*0xc2b2ae35 ^ seed*0x27d4eb2f
	h ^= h >> 15
	h *= 0x2c1b3c6d
	h ^= h >> 12
	h *= 0x297a2d39
	h ^= h >> 15
	return float64(h)/math.MaxUint32*2 - 1
}

// value returns smooth value noise of wavelength one, in [-1, 1].
func value(x, y float64, seed uint32) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	ix, iy := int32(fx), int32(fy)
	u, v := x-fx, y-fy
	u, v = u*u*(3-2*u), v*v*(3-2*v)
	a, b := lattice(ix, iy, seed), lattice(ix+1, iy, seed)
	c, d := lattice(ix, iy+1, seed), lattice(ix+1, iy+1, seed)
	return (a+(b-a)*u)*(1-v) + (c+(d-c)*u)*v
}

// rough sums octaves of value noise from wavelength long down to the finest
// that a pixel of the given size can show.
func rough(x, y, long, pixel float64, octaves int, seed uint32) float64 {
	sum, gain, all := 0.0, 1.0, 0.0
	for o := range octaves {
		all += gain
		if fade := min(1, long/(2*pixel)-.5); fade > 0 {
			sum += gain * fade * value(x/long, y/long, seed+uint32(o))
		}
		long, gain = long/2, gain*.62
	}
	return sum / all
}
