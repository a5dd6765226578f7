package trace

import "math"

// The camera's movement is followed by Gauss-Newton on the gray-level
// differences at the picture's strongest edges, with the biweight of Beaton and
// Tukey (Technometrics 16, 1974) so that people who move do not count: most of
// the picture is background.
const (
	block     = 4    // one point is taken per block x block pixels, the one with the steepest edge
	rounds    = 6    // of Gauss-Newton at most
	settled   = 0.01 // gray pixels: a smaller step ends it
	farthest  = 20   // gray pixels: beyond this there is nothing to follow
	turnScale = 0.02 // scales the columns for scale and turn to the size of those for x and y
	minEdge   = 18   // ninths of a gray level over two pixels: a flatter block has no point
)

type edgePoint struct {
	x, y   int32
	gx, gy float32
}

type camera struct {
	width, height int
	points        []edgePoint
	errors        []float32
	last          Shift
}

func newCamera(width, height int) *camera {
	n := (width / block) * (height / block)
	return &camera{width: width, height: height, points: make([]edgePoint, 0, n), errors: make([]float32, n)}
}

// follow returns how the camera moved from then to now; zero when the picture
// gives no hold.
func (c *camera) follow(now, then []uint16) Shift {
	c.findEdges(now)
	if len(c.points) < 12 {
		c.last = Shift{}
		return c.last
	}
	p, ok := c.settle(now, then, c.last)
	if !ok && c.last != (Shift{}) {
		p, ok = c.settle(now, then, Shift{})
	}
	if !ok {
		p = Shift{}
	}
	c.last = p
	return p
}

// findEdges picks the steepest pixel of every block of frame.
func (c *camera) findEdges(frame []uint16) {
	c.points = c.points[:0]
	w := c.width
	for y0 := 1; y0+block < c.height; y0 += block {
		for x0 := 1; x0+block < w; x0 += block {
			best, bestX, bestY := int32(minEdge), int32(-1), int32(-1)
			for y := y0; y < y0+block; y++ {
				row := frame[y*w+x0:][:block+1]
				below := frame[(y+1)*w+x0:][:block]
				above := frame[(y-1)*w+x0:][:block]
				left := frame[y*w+x0-1:][:block]
				for x := range block {
					gx := int32(row[x+1]) - int32(left[x])
					gy := int32(below[x]) - int32(above[x])
					if steep := max(gx, -gx) + max(gy, -gy); steep > best {
						best, bestX, bestY = steep, int32(x0+x), int32(y)
					}
				}
			}
			if bestX < 0 {
				continue
			}
			at := int(bestY)*w + int(bestX)
			c.points = append(c.points, edgePoint{
				x: bestX, y: bestY,
				gx: float32(int32(frame[at+1])-int32(frame[at-1])) / 2,
				gy: float32(int32(frame[at+w])-int32(frame[at-w])) / 2,
			})
		}
	}
}

// settle runs Gauss-Newton from p. It is false when the movement runs away or
// too few points stay inside the picture.
func (c *camera) settle(now, then []uint16, p Shift) (Shift, bool) {
	cx, cy := float32(c.width-1)/2, float32(c.height-1)/2
	errs := c.errors[:len(c.points)]
	for range rounds {
		inside := 0
		for i, q := range c.points {
			x, y := float32(q.x)-cx, float32(q.y)-cy
			v, ok := bilinear(then, c.width, c.height,
				float32(q.x)+p.X+p.S*x-p.R*y, float32(q.y)+p.Y+p.R*x+p.S*y)
			if !ok {
				errs[i] = float32(math.NaN())
				continue
			}
			errs[i] = float32(now[int(q.y)*c.width+int(q.x)]) - v
			inside++
		}
		if inside < 12 {
			return Shift{}, false
		}
		step, ok := c.step(errs)
		if !ok {
			return Shift{}, false
		}
		p.X += step[0]
		p.Y += step[1]
		p.S += step[2] * turnScale
		p.R += step[3] * turnScale
		if abs32(p.X) > farthest || abs32(p.Y) > farthest || abs32(p.S) > 0.2 || abs32(p.R) > 0.2 {
			return Shift{}, false
		}
		if abs32(step[0])+abs32(step[1]) < settled {
			break
		}
	}
	return p, true
}

// step solves one weighted round of normal equations for the change of the four
// parameters.
func (c *camera) step(errs []float32) ([4]float32, bool) {
	cx, cy := float32(c.width-1)/2, float32(c.height-1)/2
	limit := 3 * (madSD(errs) + 0.5*9)
	var n [4][4]float32
	var r [4]float32
	for i, q := range c.points {
		e := errs[i]
		if !(abs32(e) < limit) { // NaN too
			continue
		}
		u := e / limit
		w := (1 - u*u) * (1 - u*u)
		x, y := (float32(q.x)-cx)*turnScale, (float32(q.y)-cy)*turnScale
		j := [4]float32{q.gx, q.gy, q.gx*x + q.gy*y, q.gy*x - q.gx*y}
		for a := range 4 {
			wa := w * j[a]
			r[a] += wa * e
			for b := a; b < 4; b++ {
				n[a][b] += wa * j[b]
			}
		}
	}
	return solve4(n, r)
}

// madSD returns 1.4826 times the median of |e|, in steps of one ninth of a gray
// level; NaNs do not count.
func madSD(errs []float32) float32 {
	var counts [512]int32
	total := int32(0)
	for _, e := range errs {
		if e != e {
			continue
		}
		counts[min(int(abs32(e)), len(counts)-1)]++
		total++
	}
	sum := int32(0)
	for i, n := range counts {
		sum += n
		if 2*sum >= total {
			return 1.4826 * (float32(i) + 0.5)
		}
	}
	return 0
}

// bilinear reads frame between its pixels; false outside.
func bilinear(frame []uint16, width, height int, x, y float32) (float32, bool) {
	if !(x >= 0 && y >= 0) {
		return 0, false
	}
	ix, iy := int(x), int(y)
	if ix+1 >= width || iy+1 >= height {
		return 0, false
	}
	fx, fy := x-float32(ix), y-float32(iy)
	at := iy*width + ix
	a, b := float32(frame[at]), float32(frame[at+1])
	c, d := float32(frame[at+width]), float32(frame[at+width+1])
	top := a + fx*(b-a)
	return top + fy*(c+fx*(d-c)-top), true
}

// solve4 solves the symmetric system n x = r, of which only n's upper half is
// given, by Cholesky; false when it is not positive definite.
func solve4(n [4][4]float32, r [4]float32) ([4]float32, bool) {
	var l [4][4]float64
	for i := range 4 {
		for j := range i + 1 {
			sum := float64(n[j][i])
			for k := range j {
				sum -= l[i][k] * l[j][k]
			}
			if i != j {
				l[i][j] = sum / l[j][j]
				continue
			}
			if !(sum > 1e-3) {
				return [4]float32{}, false
			}
			l[i][i] = math.Sqrt(sum)
		}
	}
	var y [4]float64
	for i := range 4 {
		y[i] = float64(r[i])
		for k := range i {
			y[i] -= l[i][k] * y[k]
		}
		y[i] /= l[i][i]
	}
	var x [4]float32
	for i := 3; i >= 0; i-- {
		for k := i + 1; k < 4; k++ {
			y[i] -= l[k][i] * y[k]
		}
		y[i] /= l[i][i]
		x[i] = float32(y[i])
	}
	return x, true
}

func abs32(v float32) float32 {
	return math.Float32frombits(math.Float32bits(v) &^ (1 << 31))
}
