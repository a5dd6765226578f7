package tempo

import (
	"math"

	"tenoff/internal/align"
)

// places returns where in the picture the pitcher stands for each rep, and their mean
// motion image.
func places(raws []raw) ([]align.Offset, []float32) {
	pictures := make([][]float32, len(raws))
	for i, r := range raws {
		pictures[i] = r.picture()
	}
	return align.Of(pictures, nil, raws[0].cols, raws[0].rows)
}

// picture is one motion image: the square root of each cell's energy summed over
// the delivery.
func (r raw) picture() []float32 {
	out := make([]float32, r.cols*r.rows)
	for i, t := range r.times {
		if t < r.guess-0.55 || t > r.guess+0.15 {
			continue
		}
		for c, v := range r.cells[i] {
			out[c] += v * v
		}
	}
	for c, v := range out {
		out[c] = float32(math.Sqrt(float64(v)))
	}
	return out
}

// box is the part of the picture the pitcher fills, in cells, ends included.
type box struct{ left, right, top, bottom int }

// bodyBox holds the mean motion image's energy between its 1 % and 99 % in each
// direction.
func bodyBox(mean []float32, cols, rows int) box {
	across, down := make([]float64, cols), make([]float64, rows)
	for r := range rows {
		for c := range cols {
			e := float64(mean[r*cols+c]) * float64(mean[r*cols+c])
			across[c] += e
			down[r] += e
		}
	}
	var b box
	b.left, b.right = align.Extent(across)
	b.top, b.bottom = align.Extent(down)
	return b
}

// mask lists the cells of a horizontal band of the box; from and to are shares of
// its height, 0 at the top.
func (b box) mask(cols int, from, to float64) []int {
	height := float64(b.bottom - b.top + 1)
	var out []int
	for r := b.top; r <= b.bottom; r++ {
		share := (float64(r-b.top) + 0.5) / height
		if share < from || share >= to {
			continue
		}
		for c := b.left; c <= b.right; c++ {
			out = append(out, r*cols+c)
		}
	}
	return out
}
