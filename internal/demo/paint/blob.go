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

// inside returns how deep a point lies under the blob's edge (negative outside)
// and the direction out of it.
func (b blob) inside(x, y float64) (depth, nx, ny float64) {
	depth = math.Inf(-1)
	for _, c := range b.parts {
		dx, dy := c.b.x-c.a.x, c.b.y-c.a.y
		px, py := x-c.a.x, y-c.a.y
		t := 0.0
		if n2 := dx*dx + dy*dy; n2 > 1e-9 {
			t = min(max((px*dx+py*dy)/n2, 0), 1)
		}
		ex, ey := px-dx*t, py-dy*t
		d := math.Sqrt(ex*ex + ey*ey)
		r := c.ra + (c.rb-c.ra)*t
		f := r - d
		h := max(b.blend-math.Abs(f-depth), 0) / max(b.blend, 1e-9)
		if f > depth {
			depth, nx, ny = f, ex/r, ey/r
		}
		depth += h * h * b.blend / 4
	}
	return depth, nx, ny
}

func (b blob) draw(p plane, value float32, shaded bool) {
	box := b.bounds().clip(p.w, p.h)
	for y := box.y0; y < box.y1; y++ {
		line := p.pix[y*p.w : y*p.w+p.w]
		for x := box.x0; x < box.x1; x++ {
			depth, nx, ny := b.inside(float64(x)+.5, float64(y)+.5)
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
