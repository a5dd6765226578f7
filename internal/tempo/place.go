package tempo

import "math"

// How far a rep may stand from the mean place, in cells, and how often the mean
// is made anew.
const (
	placeCols   = 4
	placeRows   = 3
	placeRounds = 2
)

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

// offset is where a rep's pitcher stands against the mean, in cells.
type offset struct{ dx, dy float64 }

// places brings the reps' motion images onto one another and returns each one's
// offset and the mean image.
func places(raws []raw) ([]offset, []float32) {
	if len(raws) == 0 {
		return nil, nil
	}
	cols, rows := raws[0].cols, raws[0].rows
	pictures := make([][]float32, len(raws))
	for i, r := range raws {
		pictures[i] = r.picture()
	}
	offsets := make([]offset, len(raws))
	mean := average(pictures, offsets, cols, rows)
	for range placeRounds {
		for i, p := range pictures {
			offsets[i] = onto(mean, p, cols, rows)
		}
		mean = average(pictures, offsets, cols, rows)
	}
	return offsets, mean
}

func average(pictures [][]float32, offsets []offset, cols, rows int) []float32 {
	mean := make([]float32, cols*rows)
	for i, p := range pictures {
		for c, v := range shifted(p, cols, rows, offsets[i].dx, offsets[i].dy) {
			mean[c] += v / float32(len(pictures))
		}
	}
	return mean
}

// onto finds the shift of p that makes it most like mean by the cosine, with a
// parabola through the best whole shift and its neighbours.
func onto(mean, p []float32, cols, rows int) offset {
	score := func(dx, dy int) float64 {
		var dot, a, b float64
		for r := range rows {
			for c := range cols {
				m := float64(mean[r*cols+c])
				a += m * m
				if x, y := c+dx, r+dy; x >= 0 && y >= 0 && x < cols && y < rows {
					v := float64(p[y*cols+x])
					dot += m * v
					b += v * v
				}
			}
		}
		if a == 0 || b == 0 {
			return 0
		}
		return dot / math.Sqrt(a*b)
	}
	best, bx, by := math.Inf(-1), 0, 0
	for dy := -placeRows; dy <= placeRows; dy++ {
		for dx := -placeCols; dx <= placeCols; dx++ {
			if s := score(dx, dy); s > best {
				best, bx, by = s, dx, dy
			}
		}
	}
	return offset{
		float64(bx) + vertex(score(bx-1, by), best, score(bx+1, by)),
		float64(by) + vertex(score(bx, by-1), best, score(bx, by+1)),
	}
}

// vertex returns where the parabola through (-1,a) (0,b) (1,c) is highest, within
// half a step of the middle.
func vertex(a, b, c float64) float64 {
	bend := a - 2*b + c
	if bend >= 0 {
		return 0
	}
	return math.Min(math.Max((a-c)/(2*bend), -0.5), 0.5)
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
	b.left, b.right = middle98(across)
	b.top, b.bottom = middle98(down)
	return b
}

func middle98(energy []float64) (first, last int) {
	var total, sum float64
	for _, e := range energy {
		total += e
	}
	last = len(energy) - 1
	for i, e := range energy {
		if sum < 0.01*total {
			first = i
		}
		sum += e
		if sum >= 0.99*total {
			return first, i
		}
	}
	return first, last
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
