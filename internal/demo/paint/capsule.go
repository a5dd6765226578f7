package paint

import "math"

// point is a place in a picture, in pixels; pixel (0, 0) has its middle at (0.5, 0.5).
type point struct{ x, y float64 }

// capsule is a limb in the picture: a line whose thickness changes from one end
// to the other, with round ends.
type capsule struct {
	a, b   point
	ra, rb float64 // radii in pixels
}

// Shading of a limb across its width: darker towards both edges, and lighter
// towards the sun.
const (
	roundness = 0.30
	sunlight  = 0.16
)

// sun is where the light comes from in the picture.
var sun = point{-0.55, -0.83}

func (c capsule) bounds() rect {
	r := max(c.ra, c.rb) + 1
	return rect{
		int(math.Floor(min(c.a.x, c.b.x) - r)), int(math.Floor(min(c.a.y, c.b.y) - r)),
		int(math.Ceil(max(c.a.x, c.b.x)+r)) + 1, int(math.Ceil(max(c.a.y, c.b.y)+r)) + 1,
	}
}

// scaled returns the capsule in a picture k times as big.
func (c capsule) scaled(k float64) capsule {
	return capsule{point{c.a.x * k, c.a.y * k}, point{c.b.x * k, c.b.y * k}, c.ra * k, c.rb * k}
}

// row returns the pixels of row y that the capsule can touch.
func (c capsule) row(y int, box rect) (x0, x1 int) {
	dx, dy := c.b.x-c.a.x, c.b.y-c.a.y
	n := math.Hypot(dx, dy)
	if math.Abs(dy) < 0.2*n || n == 0 {
		return box.x0, box.x1
	}
	// Pixels whose distance to the whole line is within reach.
	x := c.a.x + (float64(y)+.5-c.a.y)*dx/dy
	half := (max(c.ra, c.rb) + 1) * n / math.Abs(dy)
	return max(box.x0, int(x-half)), min(box.x1, int(x+half)+2)
}

// draw paints the capsule on one plane in a value; shaded planes vary it from
// black (16) by the limb's roundness.
func (c capsule) draw(p plane, value float32, shaded bool) {
	box := c.bounds().clip(p.w, p.h)
	dx, dy := c.b.x-c.a.x, c.b.y-c.a.y
	n2 := dx*dx + dy*dy
	inv, n := 0.0, math.Sqrt(n2)
	if n2 > 1e-9 {
		inv = 1 / n2
	}
	// The unit normal, and how much of it faces the sun.
	nx, ny := 0.0, 1.0
	if n > 1e-4 {
		nx, ny = -dy/n, dx/n
	}
	facing := nx*sun.x + ny*sun.y
	round := n < max(c.ra, c.rb)/2
	dr := c.rb - c.ra
	for y := box.y0; y < box.y1; y++ {
		x0, x1 := c.row(y, box)
		if x0 >= x1 {
			continue
		}
		line := p.pix[y*p.w : y*p.w+p.w]
		py := float64(y) + .5 - c.a.y
		for x := x0; x < x1; x++ {
			px := float64(x) + .5 - c.a.x
			t := (px*dx + py*dy) * inv
			if t < 0 {
				t = 0
			} else if t > 1 {
				t = 1
			}
			r := c.ra + dr*t
			ex, ey := px-dx*t, py-dy*t
			d2 := ex*ex + ey*ey
			if d2 >= (r+.5)*(r+.5) {
				continue
			}
			v := value
			if shaded {
				across := (ex*nx + ey*ny) / r
				s2 := across * across
				if round { // a ball has no axis
					s2 = d2 / (r * r)
				}
				shade := 1 - roundness*s2 + sunlight*across*facing
				v = 16 + (value-16)*float32(shade)
			}
			if r > .5 && d2 <= (r-.5)*(r-.5) {
				line[x] = clip(v)
				continue
			}
			alpha := float32(min(r-math.Sqrt(d2)+.5, 1)) * float32(min(1, 2*r))
			line[x] = clip(float32(line[x]) + (v-float32(line[x]))*alpha)
		}
	}
}
