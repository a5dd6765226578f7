package trace

import (
	"math"

	"tenoff/internal/align"
	"tenoff/internal/bullpen"
)

// boxMargin is how far a box reaches beyond what was drawn or measured, in cells.
const boxMargin = 1

// Within returns the same motion with nothing outside the box moving: where a
// second pitcher or people walking by are in the picture, the box says who is
// meant. The zero box is the whole picture.
func (m *Motion) Within(b bullpen.Box) *Motion {
	if b.None() {
		return m
	}
	out := *m
	out.inside = make([]bool, m.Cols*m.Rows)
	for c := range out.inside {
		x, y := float64(c%m.Cols), float64(c/m.Cols)
		out.inside[c] = x+1 > b.X*float64(m.Cols)-boxMargin && x < (b.X+b.Width)*float64(m.Cols)+boxMargin &&
			y+1 > b.Y*float64(m.Rows)-boxMargin && y < (b.Y+b.Height)*float64(m.Rows)+boxMargin
	}
	return &out
}

// box returns the part of the picture in which the model's deliveries move: all but
// 1 % of their energy to every side, and a margin.
func (m *model) box(rows int) bullpen.Box {
	across, down := make([]float64, m.cols), make([]float64, rows)
	for _, row := range m.rows {
		for i, v := range row {
			across[m.cells[i]%m.cols] += float64(v * v)
			down[m.cells[i]/m.cols] += float64(v * v)
		}
	}
	left, right := align.Extent(across)
	top, low := align.Extent(down)
	edge := func(cell, cells int) float64 {
		return math.Round(1000*min(max(float64(cell)/float64(cells), 0), 1)) / 1000
	}
	x, y := edge(left-boxMargin, m.cols), edge(top-boxMargin, rows)
	return bullpen.Box{X: x, Y: y, Width: edge(right+1+boxMargin, m.cols) - x, Height: edge(low+1+boxMargin, rows) - y}
}
