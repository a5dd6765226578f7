package trace

import (
	"math"
	"slices"

	"tenoff/internal/peak"
)

// The model's own time u runs in real seconds of a mean delivery, 0 at the mean
// of the guesses.
const (
	modelBefore = 1.00
	modelAfter  = 0.50
	fitFrom     = -0.75
	fitTo       = +0.35
	fitRate     = 60.0 // rows compared per second
	modelRounds = 3
	modelLeast  = 0.60 // match of a delivery that the model is made from
	modelMost   = 40   // deliveries that it is made from
)

// model is a film's mean delivery in full detail.
type model struct {
	cells      []int       // which of the picture's cells
	rows       [][]float32 // at windowRate from -modelBefore to modelAfter
	cols, tall int         // the picture, in cells
	top, low   int         // the body's first and last row of cells
}

// fit is how one delivery lies against the model: model time u is d + e^l u real
// seconds after the delivery's guess.
type fit struct {
	d, l  float64
	match float64 // correlation, -1 to 1
}

func (f fit) at(u float64) float64  { return f.d + math.Exp(f.l)*u }
func (f fit) own(t float64) float64 { return (t - f.d) * math.Exp(-f.l) }

// at writes the model's cells at time u into out.
func (m *model) at(u float64, out []float32) {
	p := min(max((u+modelBefore)*windowRate, 0), float64(len(m.rows)-1))
	i := min(int(p), len(m.rows)-2)
	a := float32(p - float64(i))
	next := m.rows[i+1]
	for c, v := range m.rows[i] {
		out[c] = v + a*(next[c]-v)
	}
}

// average makes the model's rows from windows lying as fits say, weighted.
func (m *model) average(windows []window, fits []fit, weights []float64) {
	n := int((modelBefore+modelAfter)*windowRate) + 1
	m.rows = make([][]float32, n)
	total := 0.0
	for _, w := range weights {
		total += w
	}
	row := make([]float32, len(m.cells))
	for k := range m.rows {
		m.rows[k] = make([]float32, len(m.cells))
		u := float64(k)/windowRate - modelBefore
		for i, w := range windows {
			if weights[i] == 0 {
				continue
			}
			share := float32(weights[i] / total)
			w.at(fits[i].at(u), row)
			for c, v := range row {
				m.rows[k][c] += share * v
			}
		}
	}
}

// patch is a stretch of the model with each cell's mean taken off.
type patch struct {
	u    []float64
	keep []int // which of the model's cells; nil for all
	rows [][]float32
	norm float64
}

// patch cuts [from, to] out of the model at perSecond rows, of the cells named in
// keep (indices into m.cells, nil for all).
func (m *model) patch(from, to, perSecond float64, keep []int) *patch {
	p := &patch{keep: keep}
	n := int(math.Round((to - from) * perSecond))
	all := make([]float32, len(m.cells))
	for j := 0; j <= n; j++ {
		u := from + float64(j)/perSecond
		m.at(u, all)
		p.u = append(p.u, u)
		p.rows = append(p.rows, pick(all, keep))
	}
	p.norm = centre(p.rows)
	return p
}

// pick returns the values of all named in keep; a copy of all for nil.
func pick(all []float32, keep []int) []float32 {
	if keep == nil {
		return slices.Clone(all)
	}
	out := make([]float32, len(keep))
	for i, k := range keep {
		out[i] = all[k]
	}
	return out
}

// centre takes each column's mean off and returns the sum of squares left.
func centre(rows [][]float32) (square float64) {
	mean := make([]float32, len(rows[0]))
	for _, row := range rows {
		for c, v := range row {
			mean[c] += v / float32(len(rows))
		}
	}
	for _, row := range rows {
		for c := range row {
			row[c] -= mean[c]
			square += float64(row[c] * row[c])
		}
	}
	return square
}

// without returns the patch less the cells (indices into the model's) that are
// not to be looked at.
func (p *patch) without(bad []bool) *patch {
	if !slices.Contains(bad, true) {
		return p
	}
	out := &patch{u: p.u, keep: []int{}, rows: make([][]float32, len(p.rows))}
	var columns []int
	for i := range p.rows[0] {
		cell := i
		if p.keep != nil {
			cell = p.keep[i]
		}
		if !bad[cell] {
			out.keep, columns = append(out.keep, cell), append(columns, i)
		}
	}
	for j, row := range p.rows {
		out.rows[j] = pick(row, columns)
		for _, v := range out.rows[j] {
			out.norm += float64(v * v)
		}
	}
	return out
}

// matcher compares patches with one window; it holds the scratch for it.
type matcher struct {
	w         window
	row, part []float32
	sum       []float32
}

func newMatcher(w window) *matcher {
	n := len(w.rows[0])
	return &matcher{w: w, row: make([]float32, n), part: make([]float32, n), sum: make([]float32, n)}
}

// match is the correlation of p with the window when model time u falls on
// zero + stretch u seconds after the guess, each cell's own mean taken off.
func (m *matcher) match(p *patch, zero, stretch float64) float64 {
	width := len(p.rows[0])
	sum := m.sum[:width]
	clear(sum)
	var cross, square float64
	for j, u := range p.u {
		m.w.at(zero+stretch*u, m.row)
		row := m.row
		if p.keep != nil {
			row = m.part[:width]
			for i, k := range p.keep {
				row[i] = m.row[k]
			}
		}
		t := p.rows[j]
		var c, s float32
		for i, v := range row {
			c += v * t[i]
			s += v * v
			sum[i] += v
		}
		cross += float64(c)
		square += float64(s)
	}
	for _, s := range sum {
		square -= float64(s*s) / float64(len(p.u))
	}
	if square <= 1e-9 || p.norm <= 1e-9 {
		return 0
	}
	return cross / math.Sqrt(square*p.norm)
}

// lay finds the shift and stretch at which the window is most like the whole
// pattern p, starting from a coarse grid round near.
func (m *matcher) lay(p *patch, near fit) fit {
	const reachD, stepD, fineD = 0.10, 0.02, 0.005
	const lowL, highL, stepL, fineL = -0.24, 0.42, 0.04, 0.01
	best := fit{match: math.Inf(-1)}
	try := func(d, l float64) {
		if c := m.match(p, d, math.Exp(l)); c > best.match {
			best = fit{d, l, c}
		}
	}
	for d := near.d - reachD; d <= near.d+reachD+1e-9; d += stepD {
		for l := lowL; l <= highL+1e-9; l += stepL {
			try(d, l)
		}
	}
	coarse := best
	for i := -3; i <= 3; i++ {
		for j := -3; j <= 3; j++ {
			try(coarse.d+fineD*float64(i), coarse.l+fineL*float64(j))
		}
	}
	at := func(i, j float64) float64 { return m.match(p, best.d+i*fineD, math.Exp(best.l+j*fineL)) }
	x := peak.Between(at(-1, 0), best.match, at(1, 0))
	y := peak.Between(at(0, -1), best.match, at(0, 1))
	best.d += x * fineD
	best.l += y * fineL
	return best
}
