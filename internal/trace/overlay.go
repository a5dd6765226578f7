package trace

import (
	"math"
	"slices"

	"tenoff/internal/align"
)

// overlay is a close look at the places of a film that may be deliveries: each one
// laid over the film's own mean delivery.
type overlay struct {
	motion  *Motion
	guesses []float64 // real seconds
	windows []window
	fits    []fit
	alone   []float64 // each one's match with a model that it has no part in
	model   *model
}

// newStudy looks at places; weights say how much each may be trusted to be a
// delivery, 0 not at all.
func newStudy(m *Motion, places []place) *overlay {
	s := &overlay{motion: m}
	weights := make([]float64, len(places))
	images := make([][]float32, len(places))
	for i, p := range places {
		s.guesses = append(s.guesses, p.at)
		weights[i] = p.likeness * p.likeness
		images[i] = m.strip(p.at, 0, 0).image()
	}
	at, mean := align.Of(images, weights, m.Cols, m.Rows)
	s.model = newModel(mean, m.Cols, m.Rows)
	s.fits = make([]fit, len(places))
	for i, p := range places {
		strip := m.strip(p.at, at[i].DX, at[i].DY)
		s.windows = append(s.windows, strip.even(p.at, s.model.cells, m.Cols, m.Rows))
		s.fits[i] = fit{l: math.Log(p.stretch), match: p.likeness}
	}
	s.settle()
	return s
}

// newModel returns a model without rows: the cells of the mean image in which
// deliveries move, and the body's height.
func newModel(mean []float32, cols, rows int) *model {
	m := &model{cols: cols, tall: rows}
	down := make([]float64, rows)
	most := slices.Max(mean)
	for c, v := range mean {
		down[c/cols] += float64(v * v)
		if v*v > 0.02*most*most {
			m.cells = append(m.cells, c)
		}
	}
	m.top, m.low = align.Extent(down)
	return m
}

// settle lays all deliveries over their mean, and makes the mean anew from those
// that match, a few times.
func (s *overlay) settle() {
	for range modelRounds {
		weights := s.members()
		s.level(weights)
		s.model.average(s.windows, s.fits, weights)
		p := s.model.patch(fitFrom, fitTo, fitRate, nil)
		for i, w := range s.windows {
			s.fits[i] = newMatcher(w).lay(p.without(s.strangers(i)), s.fits[i])
		}
	}
	s.judge()
}

// Cells that somebody else moves in.
const (
	strangerTimes = 2.5   // the model's energy, at least
	strangerShare = 0.008 // of the model's mean cell's energy that is always allowed besides
	strangerMost  = 0.40  // of the model's energy: more can't be left out
)

// strangers returns the model's cells in which delivery i shows so much more
// motion than the others that somebody else must have walked there; none if they
// are too many to do without.
func (s *overlay) strangers(i int) []bool {
	own, usual := make([]float64, len(s.model.cells)), make([]float64, len(s.model.cells))
	row := make([]float32, len(s.model.cells))
	for u := fitFrom; u <= fitTo; u += 2 / fitRate {
		s.windows[i].at(s.fits[i].at(u), row)
		for c, v := range row {
			own[c] += float64(v * v)
		}
		s.model.at(u, row)
		for c, v := range row {
			usual[c] += float64(v * v)
		}
	}
	total := 0.0
	for _, v := range usual {
		total += v
	}
	bad, lost := make([]bool, len(own)), 0.0
	for c := range own {
		if own[c] > strangerTimes*usual[c]+strangerShare*total {
			bad[c] = true
			lost += usual[c]
		}
	}
	if lost > strangerMost*total {
		clear(bad)
	}
	return bad
}

// members returns the weights, 0 or 1, of the deliveries that make the model:
// those that match, the best of them if they are many, two at least.
func (s *overlay) members() []float64 {
	matches := make([]float64, len(s.fits))
	for i, f := range s.fits {
		matches[i] = f.match
	}
	slices.Sort(matches)
	slices.Reverse(matches)
	least := modelLeast
	if len(matches) > modelMost {
		least = max(least, matches[modelMost])
	}
	least = min(least, matches[min(1, len(matches)-1)])
	weights := make([]float64, len(s.fits))
	for i, f := range s.fits {
		if f.match >= least {
			weights[i] = 1
		}
	}
	return weights
}

// level moves all fits so that the members' mean shift and stretch are none.
func (s *overlay) level(weights []float64) {
	var d, l, n float64
	for i, f := range s.fits {
		d += weights[i] * f.d
		l += weights[i] * f.l
		n += weights[i]
	}
	d, l = d/n, l/n
	for i := range s.fits {
		// Model time u' = (u - d)/e^l lies where u lay before.
		f := &s.fits[i]
		f.d -= d * math.Exp(f.l-l)
		f.l -= l
	}
}

// judge measures how each delivery matches a model made without it.
func (s *overlay) judge() {
	weights := s.members()
	n := 0.0
	for _, w := range weights {
		n += w
	}
	s.level(weights)
	s.model.average(s.windows, s.fits, weights)
	s.alone = make([]float64, len(s.fits))
	row := make([]float32, len(s.model.cells))
	for i, w := range s.windows {
		f := s.fits[i]
		p := s.model.patch(fitFrom, fitTo, fitRate, nil)
		if weights[i] > 0 && n > 1 {
			for j, u := range p.u {
				s.model.at(u, p.rows[j])
				w.at(f.at(u), row)
				for c, v := range row {
					p.rows[j][c] = (float32(n)*p.rows[j][c] - v) / float32(n-1)
				}
			}
			p.norm = centre(p.rows)
		}
		s.alone[i] = newMatcher(w).match(p.without(s.strangers(i)), f.d, math.Exp(f.l))
	}
}

// contrast is how many times the model's greatest energy is that of its beginning
// and end.
func (m *model) contrast() float64 {
	energy := make([]float64, len(m.rows))
	for i, row := range m.rows {
		energy[i] = float64(dot(row, row))
	}
	smear(energy, 0.05*windowRate)
	return slices.Max(energy) / max((energy[0]+energy[len(energy)-1])/2, 1e-9)
}
