package tempo

import (
	"math"

	"tenoff/internal/align"
	"tenoff/internal/peak"
)

// The template's own time u runs from the release guess, in real seconds of a
// mean fastball.
const (
	fitFrom, fitTo = -0.80, 0.16
	tempFrom       = -1.20
	tempTo         = 0.20
	tempRate       = 90.0
)

// template is the mean fastball's motion.
type template struct {
	cells      [][]float32 // at tempRate from tempFrom, packed to the list of cells
	list       []int       // which cells of the picture
	cols, rows int         // of the picture
}

// moved returns the template with what it shows dx cells further to the right.
func (t template) moved(dx float64) template {
	out := t
	out.cells = make([][]float32, len(t.cells))
	picture := make([]float32, t.cols*t.rows)
	for k, cells := range t.cells {
		for i, c := range t.list {
			picture[c] = cells[i]
		}
		aside := align.Moved(picture, t.cols, t.rows, -dx, 0)
		out.cells[k] = make([]float32, len(t.list))
		for i, c := range t.list {
			out.cells[k][i] = aside[c]
		}
	}
	return out
}

// fit is how one rep lies against the template: its time is guess + D + e^L u.
type fit struct {
	L, D  float64
	Match float64 // correlation, -1 to 1
}

// at returns the real second of template time u.
func (f fit) at(guess, u float64) float64 { return guess + f.D + math.Exp(f.L)*u }

// own returns the template time of real second t.
func (f fit) own(guess, t float64) float64 { return (t - guess - f.D) / math.Exp(f.L) }

// around returns the window's frames before and after real second t, and how much the
// second counts.
func (w window) around(t float64) (from, to []float32, a float32) {
	p := (t - w.start) * rate
	k := int(math.Floor(p))
	last := len(w.cells) - 1
	return w.cells[min(max(k, 0), last)], w.cells[min(max(k+1, 0), last)], float32(p - float64(k))
}

// sample writes the window's listed cells at real second t into out.
func (w window) sample(t float64, list []int, out []float32) {
	from, to, a := w.around(t)
	for i, c := range list {
		out[i] = from[c]*(1-a) + to[c]*a
	}
}

// aside is a list of cells moved across the picture: between the cells near and far,
// part of the way. What would lie outside is taken from the edge.
type aside struct {
	near, far []int
	part      float32
}

// asideOf moves a list of cells of a picture dx cells to the right.
func asideOf(list []int, cols int, dx float64) aside {
	step := int(math.Floor(dx))
	out := aside{near: make([]int, len(list)), far: make([]int, len(list)), part: float32(dx - float64(step))}
	for i, c := range list {
		col := c % cols
		out.near[i] = c - col + min(max(col+step, 0), cols-1)
		out.far[i] = c - col + min(max(col+step+1, 0), cols-1)
	}
	return out
}

// sampleAside does as sample, at cells moved aside.
func (w window) sampleAside(t float64, moved aside, out []float32) {
	from, to, a := w.around(t)
	for i, near := range moved.near {
		far := moved.far[i]
		v := from[near]*(1-a) + to[near]*a
		out[i] = v + moved.part*(from[far]*(1-a)+to[far]*a-v)
	}
}

// meanOf makes the template from windows lying as their fits say.
func meanOf(windows []window, fits []fit, list []int) template {
	n := int(math.Round((tempTo-tempFrom)*tempRate)) + 1
	t := template{cells: make([][]float32, n), list: list, cols: windows[0].cols, rows: windows[0].rows}
	row := make([]float32, len(list))
	for k := range t.cells {
		u := tempFrom + float64(k)/tempRate
		sum := make([]float32, len(list))
		for i, w := range windows {
			w.sample(fits[i].at(w.guess, u), list, row)
			for c, v := range row {
				sum[c] += v / float32(len(windows))
			}
		}
		t.cells[k] = sum
	}
	return t
}

// sample writes the template's cells at time u into out.
func (t template) sample(u float64, out []float32) {
	p := (u - tempFrom) * tempRate
	k := int(math.Floor(p))
	a := float32(p - float64(k))
	from, to := t.cells[min(max(k, 0), len(t.cells)-1)], t.cells[min(max(k+1, 0), len(t.cells)-1)]
	for i := range out {
		out[i] = from[i]*(1-a) + to[i]*a
	}
}

// patch is a stretch of the template with each cell's mean over it taken off.
type patch struct {
	list  []int
	u     []float64
	cells [][]float32
	norm  float64
}

// patch cuts [from, to] out of the template at steps of 1/rate per second, over
// the template's cells named in keep (indices into t.list; nil for all).
func (t template) patch(from, to, perSecond float64, keep []int) patch {
	if keep == nil {
		keep = make([]int, len(t.list))
		for i := range keep {
			keep[i] = i
		}
	}
	p := patch{list: make([]int, len(keep))}
	for i, k := range keep {
		p.list[i] = t.list[k]
	}
	all := make([]float32, len(t.list))
	n := int(math.Round((to - from) * perSecond))
	mean := make([]float64, len(keep))
	for j := 0; j <= n; j++ {
		u := from + float64(j)/perSecond
		t.sample(u, all)
		row := make([]float32, len(keep))
		for i, k := range keep {
			row[i] = all[k]
			mean[i] += float64(all[k]) / float64(n+1)
		}
		p.u = append(p.u, u)
		p.cells = append(p.cells, row)
	}
	for _, row := range p.cells {
		for i := range row {
			row[i] -= float32(mean[i])
			p.norm += float64(row[i]) * float64(row[i])
		}
	}
	return p
}

// match is the correlation of the patch, laid into w round real second at, with each
// cell's own mean taken off.
func (p patch) match(w window, at float64, l lay) float64 {
	row, sum := make([]float32, len(p.list)), make([]float64, len(p.list))
	var cross, square float64
	for j, t := range p.cells {
		if l.aside == nil {
			w.sample(at+l.lags[j], p.list, row)
		} else {
			w.sampleAside(at+l.lags[j], l.aside[j], row)
		}
		if l.gains != nil {
			for i := range row {
				row[i] *= l.gains[j]
			}
		}
		var c, s float32
		for i, v := range row {
			c += v * t[i]
			s += v * v
			sum[i] += float64(v)
		}
		cross += float64(c)
		square += float64(s)
	}
	n := float64(len(p.u))
	for _, s := range sum {
		square -= s * s / n
	}
	if square <= 0 || p.norm <= 0 {
		return 0
	}
	return cross / math.Sqrt(square*p.norm)
}

// fitTo lays the whole pattern onto a rep: a coarse grid of stretch and shift, a
// fine one round its best, and a paraboloid through the best nine.
func (t template) fitTo(w window) fit {
	p := t.patch(fitFrom, fitTo, tempRate, nil)
	score := func(l, d float64) float64 { return p.match(w, w.guess+d, even(math.Exp(l)).lay(p.u, 0)) }
	best := fit{Match: math.Inf(-1)}
	try := func(l, d float64) {
		if s := score(l, d); s > best.Match {
			best = fit{l, d, s}
		}
	}
	for i := range 23 {
		for j := range 9 {
			try(-0.24+0.03*float64(i), -0.04+0.01*float64(j))
		}
	}
	coarse := best
	for i := -4; i <= 4; i++ {
		for j := -2; j <= 2; j++ {
			try(coarse.L+0.01*float64(i), coarse.D+0.005*float64(j))
		}
	}
	const stepL, stepD = 0.01, 0.005
	var z [3][3]float64
	for i := range 3 {
		for j := range 3 {
			z[i][j] = score(best.L+stepL*float64(i-1), best.D+stepD*float64(j-1))
		}
	}
	x, y := peak.Summit(z)
	best.L += x * stepL
	best.D += y * stepD
	return best
}
