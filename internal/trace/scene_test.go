package trace

import (
	"math"
	"math/rand/v2"
)

// scene is a small drawn world for tests: smooth texture that a camera moves
// over, and a bright disc that moves in it.
type scene struct {
	width, height int
	waves         [24][4]float64 // two frequencies, phase, height
	noise         float64        // standard deviation, gray levels
	random        *rand.Rand
}

func newScene(width, height int, noise float64, seed uint64) *scene {
	s := &scene{width: width, height: height, noise: noise, random: rand.New(rand.NewPCG(seed, 1))}
	for i := range s.waves {
		s.waves[i] = [4]float64{
			(s.random.Float64() - 0.5) * 0.9, (s.random.Float64() - 0.5) * 0.9,
			s.random.Float64() * 2 * math.Pi, 4 + 8*s.random.Float64(),
		}
	}
	return s
}

// disc is where the scene's disc is, in the picture's pixels; radius 0 for none.
type disc struct{ x, y, radius float64 }

// draw returns the picture that a camera shows which moved by p since the scene
// was made: what is now at (x, y) was then at p's place.
func (s *scene) draw(p Shift, d disc) []byte {
	out := make([]byte, s.width*s.height)
	cx, cy := float64(s.width-1)/2, float64(s.height-1)/2
	// Along a row each wave's angle grows by the same step: one turn of a pointer a
	// pixel, and no sine.
	type pointer struct{ sin, cos, bySin, byCos float64 }
	var turn [len(s.waves)]pointer
	for y := range s.height {
		xc, yc := -cx, float64(y)-cy
		wx := float64(p.X) + float64(p.S)*xc - float64(p.R)*yc
		wy := float64(y) + float64(p.Y) + float64(p.R)*xc + float64(p.S)*yc
		for i, w := range s.waves {
			t := &turn[i]
			t.sin, t.cos = math.Sincos(w[0]*wx + w[1]*wy + w[2])
			t.bySin, t.byCos = math.Sincos(w[0]*(1+float64(p.S)) + w[1]*float64(p.R))
		}
		for x := range s.width {
			v := 110.0
			for i := range turn {
				t := &turn[i]
				v += s.waves[i][3] * t.sin
				t.sin, t.cos = t.sin*t.byCos+t.cos*t.bySin, t.cos*t.byCos-t.sin*t.bySin
			}
			if d.radius > 0 {
				in := min(max(d.radius-math.Hypot(float64(x)-d.x, float64(y)-d.y)+0.5, 0), 1)
				v += in * (235 - v)
			}
			v += s.noise * s.random.NormFloat64()
			out[y*s.width+x] = byte(min(max(v+0.5, 0), 255))
		}
	}
	return out
}
