package paint

import "math"

// blob is several capsules that flow into each other, as a trunk does.
type blob struct {
	parts []capsule
	blend float64 // how widely they flow together, in pixels
	core  float64 // how far from the edge the shading reaches, in pixels
}

func (b blob) bounds() rect {
	var r rect
	for _, c := range b.parts {
		r = r.union(c.bounds())
	}
	return r
}

func (b blob) scaled(k float64) blob {
	parts := make([]capsule, len(b.parts))
	for i, c := range b.parts {
		parts[i] = c.scaled(k)
	}
	return blob{parts, b.blend * k, b.core * k}
}

// lobe is a part made ready for asking many pixels.
type lobe struct {
	a, d     point   // start, and way to the end
	inv      float64 // of the way's length squared
	ra, dr   float64
	farthest float64 // squared distance beyond which it has no say
}

func (b blob) lobes(room []lobe) []lobe {
	for _, c := range b.parts {
		l := lobe{a: c.a, d: point{c.b.x - c.a.x, c.b.y - c.a.y}, ra: c.ra, dr: c.rb - c.ra}
		if n2 := l.d.x*l.d.x + l.d.y*l.d.y; n2 > 1e-9 {
			l.inv = 1 / n2
		}
		reach := max(c.ra, c.rb) + b.blend + 1
		l.farthest = reach * reach
		room = append(room, l)
	}
	return room
}

// inside returns how deep a point lies under the blob's edge (negative outside)
// and the direction out of it.
func (b blob) inside(lobes []lobe, x, y float64) (depth, nx, ny float64) {
	depth = -1e9
	for i := range lobes {
		l := &lobes[i]
		px, py := x-l.a.x, y-l.a.y
		t := min(max((px*l.d.x+py*l.d.y)*l.inv, 0), 1)
		ex, ey := px-l.d.x*t, py-l.d.y*t
		d2 := ex*ex + ey*ey
		if d2 > l.farthest {
			continue
		}
		r := l.ra + l.dr*t
		f := r - math.Sqrt(d2)
		near := b.blend - math.Abs(f-depth)
		if f > depth {
			depth, nx, ny = f, ex/r, ey/r
		}
		if near > 0 {
			depth += near * near / (4 * b.blend)
		}
	}
	return depth, nx, ny
}

// row returns the pixels of row y that the blob can touch.
func (b blob) row(y int, box rect) (x0, x1 int) {
	x0, x1 = box.x1, box.x0
	for _, c := range b.parts {
		c.ra, c.rb = c.ra+b.blend/4, c.rb+b.blend/4
		if own := c.bounds().clip(box.x1, box.y1); y >= own.y0 && y < own.y1 {
			a, z := c.row(y, own)
			x0, x1 = min(x0, a), max(x1, z)
		}
	}
	return max(x0, box.x0), x1
}

func (b blob) draw(p plane, value float32, shaded bool) {
	box := b.bounds().clip(p.w, p.h)
	var room [6]lobe
	lobes := b.lobes(room[:0])
	for y := box.y0; y < box.y1; y++ {
		line := p.pix[y*p.w : y*p.w+p.w]
		x0, x1 := b.row(y, box)
		for x := x0; x < x1; x++ {
			depth, nx, ny := b.inside(lobes, float64(x)+.5, float64(y)+.5)
			if depth <= -.5 {
				continue
			}
			v := value
			if shaded {
				edge := 1 - min(max(depth, 0)/b.core, 1)
				v = 16 + (value-16)*float32(1-roundness*edge*edge+.9*sunlight*(nx*sun.x+ny*sun.y))
			}
			alpha := float32(min(depth+.5, 1))
			line[x] = clip(float32(line[x]) + (v-float32(line[x]))*alpha)
		}
	}
}
