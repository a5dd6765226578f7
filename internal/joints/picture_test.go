package joints

import (
	"math"
	"testing"
)

// ramp is a picture whose red rises by one from column to column, whose green does from
// row to row, and whose blue is 200.
func ramp(width, height int) Picture {
	p := Picture{Width: width, Height: height}
	for y := range height {
		for x := range width {
			p.RGB = append(p.RGB, byte(x), byte(y), 200)
		}
	}
	return p
}

// A linear picture keeps its values wherever a square of it is laid, enlarged or reduced:
// the value at a new pixel's middle is the old picture's there. Exact by what bilinear
// means.
func TestSquareOfRamp(t *testing.T) {
	p := ramp(200, 160)
	for _, s := range []square{
		{x: 100, y: 80, side: 100}, {x: 90.3, y: 77.7, side: 47.1}, {x: 100, y: 80, side: 156},
	} {
		planes := make([]float32, 3*side*side)
		s.into(p, planes)
		for _, at := range [][2]int{{30, 40}, {128, 128}, {200, 60}} {
			c, r := at[0], at[1]
			wantX := s.x - s.side/2 + (float64(c)+0.5)*s.side/side - 0.5
			wantY := s.y - s.side/2 + (float64(r)+0.5)*s.side/side - 0.5
			gotX, gotY, blue := planes[r*side+c], planes[(side+r)*side+c], planes[(2*side+r)*side+c]
			if math.Abs(float64(gotX)-wantX) > 0.01 || math.Abs(float64(gotY)-wantY) > 0.01 || math.Abs(float64(blue)-200) > 0.01 {
				t.Errorf("%v: pixel %d, %d is %.3f, %.3f, %.1f, want %.3f, %.3f, 200", s, c, r, gotX, gotY, blue, wantX, wantY)
			}
		}
	}
}

// What lies beyond the picture is black, also where the square hardly touches it or does
// not at all.
func TestSquareBeyondPicture(t *testing.T) {
	p := ramp(100, 50)
	for _, s := range []square{{x: 0, y: 0, side: 80}, {x: 99, y: 49, side: 200}, {x: -300, y: 20, side: 100}, {x: 50, y: 900, side: 100}, {x: 50, y: 25, side: 1000}} {
		planes := make([]float32, 3*side*side)
		s.into(p, planes)
		for i, v := range planes[2*side*side:] { // blue: 200 inside
			x := s.x - s.side/2 + (float64(i%side)+0.5)*s.side/side
			y := s.y - s.side/2 + (float64(i/side)+0.5)*s.side/side
			edge := max(1, s.side/side)
			inside := x > edge && x < 100-edge && y > edge && y < 50-edge
			outside := x < -edge || x > 100+edge || y < -edge || y > 50+edge
			if inside && math.Abs(float64(v)-200) > 0.01 || outside && v != 0 {
				t.Fatalf("%v: at %.1f, %.1f it is %.2f", s, x, y, v)
			}
		}
	}
}
