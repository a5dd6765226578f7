package trace

import (
	"math"
	"slices"
)

// reelRate is a reel's samples per real second.
const reelRate = 30

// coarseMotion is a whole film's motion, coarse: evenly spaced in real time, four cells
// joined to one. Finding works on it; placing works on the cells themselves.
type coarseMotion struct {
	start      float64 // real seconds of sample 0
	cols, rows int
	cells      [][]float32 // square roots of energy
	energy     []float64   // of each sample, smoothed
	moved      []float64   // and as it is
	said       bool        // somebody said where the pitcher is
}

// newReel plays m onto an even grid.
func newReel(m *Motion) *coarseMotion {
	r := &coarseMotion{cols: (m.Cols + 1) / 2, rows: (m.Rows + 1) / 2, said: m.inside != nil}
	if m.Len() < 2 {
		return r
	}
	r.start = m.Times[0] / m.Slow
	n := int((m.Times[m.Len()-1]/m.Slow-r.start)*reelRate) + 1
	r.cells = make([][]float32, n)
	all := make([]float32, n*r.cols*r.rows)
	r.energy = make([]float64, n)
	play := newPlayer(m)
	fine := make([]float32, m.Cols*m.Rows)
	for k := range r.cells {
		play.at(r.second(k), fine)
		size := r.cols * r.rows
		r.cells[k] = all[k*size : (k+1)*size : (k+1)*size]
		r.energy[k] = join(r.cells[k], fine, m.Cols, m.Rows, r.said)
	}
	r.moved = slices.Clone(r.energy)
	smear(r.energy, 0.12*reelRate)
	return r
}

// second returns the real second of sample k.
func (r *coarseMotion) second(k int) float64 { return r.start + float64(k)/reelRate }

// join adds up 2 x 2 cells' energies, leaves their square root in coarse and
// returns the sum of all. Those near the sides count less, unless somebody said
// where she is: a film is of the one in its middle.
func join(coarse, fine []float32, cols, rows int, said bool) float64 {
	across := (cols + 1) / 2
	clear(coarse)
	for y := range rows {
		for x, v := range fine[y*cols : (y+1)*cols] {
			coarse[y/2*across+x/2] += v * v
		}
	}
	sum := 0.0
	for i, v := range coarse {
		weight := 1.0
		if !said {
			weight = central((float64(i%across) + 0.5) / float64(across))
		}
		sum += float64(v) * weight
		coarse[i] = float32(math.Sqrt(float64(v)))
	}
	return sum
}

// central is how much counts what lies at x, 0 left to 1 right in the picture.
func central(x float64) float64 {
	const sides = 0.75 // less at the very sides
	off := 2*x - 1
	return 1 - sides*off*off
}

// player reads a film's cells at any real second, by linear interpolation.
type player struct {
	m    *Motion
	i    int // a holds sample i, b sample i+1
	a, b []float32
}

func newPlayer(m *Motion) *player { return &player{m: m, i: -2} }

// at writes the cells at real second s into out; outside the film the nearest.
func (p *player) at(s float64, out []float32) {
	t := s * p.m.Slow
	last := p.m.Len() - 2
	i := max(p.i, 0)
	if i > last || p.m.Times[i] > t {
		i = 0
	}
	for i < last && p.m.Times[i+1] <= t {
		i++
	}
	if i != p.i {
		if i == p.i+1 {
			p.a, p.b = p.b, p.a
		} else {
			p.a = p.m.Cells(i, p.a)
		}
		p.b = p.m.Cells(i+1, p.b)
		p.i = i
	}
	w := float32(min(max((t-p.m.Times[i])/(p.m.Times[i+1]-p.m.Times[i]), 0), 1))
	for k := range out {
		out[k] = p.a[k] + w*(p.b[k]-p.a[k])
	}
}

// smear smooths v by a Gaussian of sigma samples.
func smear(v []float64, sigma float64) {
	kernel := gauss(sigma)
	reach := len(kernel) / 2
	old := append([]float64(nil), v...)
	for i := range v {
		sum, weight := 0.0, 0.0
		for k, w := range kernel {
			if j := i + k - reach; j >= 0 && j < len(old) {
				sum += w * old[j]
				weight += w
			}
		}
		v[i] = sum / weight
	}
}

// gauss returns a Gaussian's weights out to three sigma, sum 1.
func gauss(sigma float64) []float64 {
	reach := int(math.Ceil(3 * sigma))
	kernel := make([]float64, 2*reach+1)
	sum := 0.0
	for i := range kernel {
		d := float64(i - reach)
		kernel[i] = math.Exp(-d * d / (2 * sigma * sigma))
		sum += kernel[i]
	}
	for i := range kernel {
		kernel[i] /= sum
	}
	return kernel
}

// index returns the sample nearest to real second s.
func (r *coarseMotion) index(s float64) int {
	return min(max(int(math.Round((s-r.start)*reelRate)), 0), len(r.cells)-1)
}
