// Package align lays pictures of a pitcher's deliveries over one another: where she
// stood for each of them, and which part of the picture she fills.
package align

import (
	"math"
	"slices"

	"tenoff/internal/peak"
)

// How far a delivery may stand from the others, in cells.
const (
	mostCols = 5
	mostRows = 3
	rounds   = 2
)

// Offset is where a delivery stands in the picture against the mean of all, in
// cells to the right and down.
type Offset struct{ DX, DY float64 }

// Of lays the deliveries' images, cols x rows cells each and row by row, over one
// another and returns each one's stance and the mean image. weights say how much each
// counts in the mean; nil is all the same.
func Of(images [][]float32, weights []float64, cols, rows int) ([]Offset, []float32) {
	if weights == nil {
		weights = slices.Repeat([]float64{1}, len(images))
	}
	out := make([]Offset, len(images))
	mean := meanImage(images, weights, out, cols, rows)
	for range rounds {
		for i, image := range images {
			out[i] = lay(mean, image, cols, rows)
		}
		mean = meanImage(images, weights, out, cols, rows)
	}
	return out, mean
}

func meanImage(images [][]float32, weights []float64, at []Offset, cols, rows int) []float32 {
	mean := make([]float32, cols*rows)
	total := 0.0
	for _, w := range weights {
		total += w
	}
	for i, image := range images {
		w := float32(weights[i] / total)
		for c, v := range Moved(image, cols, rows, at[i].DX, at[i].DY) {
			mean[c] += w * v
		}
	}
	return mean
}

// lay finds the movement of image that makes its cosine with mean greatest.
func lay(mean, image []float32, cols, rows int) Offset {
	var memo [2*mostCols + 3][2*mostRows + 3]float64
	score := func(dx, dy int) float64 {
		m := &memo[dx+mostCols+1][dy+mostRows+1]
		if *m != 0 {
			return *m
		}
		var ab, aa, bb float32
		for r := range rows {
			from := r + dy
			lo, hi := max(0, -dx), min(cols, cols-dx)
			if from < 0 || from >= rows || lo >= hi {
				_, a, _ := dots(mean[r*cols:][:cols], mean[r*cols:][:cols])
				aa += a
				continue
			}
			x, y, z := dots(mean[r*cols+lo:r*cols+hi], image[from*cols+lo+dx:from*cols+hi+dx])
			ab, aa, bb = ab+x, aa+y, bb+z
		}
		if aa > 0 && bb > 0 {
			*m = float64(ab) / math.Sqrt(float64(aa)*float64(bb))
		}
		return *m
	}
	bestX, bestY, best := 0, 0, score(0, 0)
	for dy := -mostRows; dy <= mostRows; dy++ {
		for dx := -mostCols; dx <= mostCols; dx++ {
			if c := score(dx, dy); c > best {
				bestX, bestY, best = dx, dy, c
			}
		}
	}
	return Offset{
		float64(bestX) + peak.Between(score(bestX-1, bestY), best, score(bestX+1, bestY)),
		float64(bestY) + peak.Between(score(bestX, bestY-1), best, score(bestX, bestY+1)),
	}
}

// dots returns a.b, a.a and b.b.
func dots(a, b []float32) (ab, aa, bb float32) {
	b = b[:len(a)]
	for i, v := range a {
		w := b[i]
		ab += v * w
		aa += v * v
		bb += w * w
	}
	return ab, aa, bb
}

// Moved returns cells moved so that what stands at (c+dx, r+dy) comes to (c, r),
// by bilinear interpolation with nothing outside.
func Moved(cells []float32, cols, rows int, dx, dy float64) []float32 {
	if dx == 0 && dy == 0 {
		return cells
	}
	left, top := math.Floor(dx), math.Floor(dy)
	wx, wy := float32(dx-left), float32(dy-top)
	// First along the rows, then along the columns.
	across := make([]float32, len(cells))
	for r := range rows {
		row, to := cells[r*cols:][:cols], across[r*cols:][:cols]
		for c := range to {
			if k := c + int(left); k >= 0 && k < cols {
				to[c] = row[k] * (1 - wx)
			}
			if k := c + int(left) + 1; k >= 0 && k < cols {
				to[c] += row[k] * wx
			}
		}
	}
	out := make([]float32, len(cells))
	for r := range rows {
		to := out[r*cols:][:cols]
		for d, w := range [2]float32{1 - wy, wy} {
			k := r + int(top) + d
			if k < 0 || k >= rows || w == 0 {
				continue
			}
			for c, v := range across[k*cols:][:cols] {
				to[c] += v * w
			}
		}
	}
	return out
}

// Extent returns the first and the last of values between which lie all but 1 % of
// their sum on either side.
func Extent(values []float64) (first, last int) {
	total := 0.0
	for _, v := range values {
		total += v
	}
	sum := 0.0
	first, last = 0, len(values)-1
	for i, v := range values {
		if sum < 0.01*total {
			first = i
		}
		sum += v
		if sum >= 0.99*total {
			return first, i
		}
	}
	return first, last
}
