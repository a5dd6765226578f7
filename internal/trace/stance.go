package trace

import "math"

// How far a delivery may stand from the others, in cells.
const (
	stanceCols   = 5
	stanceRows   = 3
	stanceRounds = 2
)

// stance is where a delivery stands in the picture against the mean of all, in
// cells.
type stance struct{ dx, dy float64 }

// stances lays the deliveries' images over one another and returns each one's
// stance and the mean image. weights say how much each counts in the mean.
func stances(images [][]float32, weights []float64, cols, rows int) ([]stance, []float32) {
	out := make([]stance, len(images))
	mean := meanImage(images, weights, out, cols, rows)
	for range stanceRounds {
		for i, image := range images {
			out[i] = lay(mean, image, cols, rows)
		}
		mean = meanImage(images, weights, out, cols, rows)
	}
	return out, mean
}

func meanImage(images [][]float32, weights []float64, at []stance, cols, rows int) []float32 {
	mean := make([]float32, cols*rows)
	total := 0.0
	for _, w := range weights {
		total += w
	}
	for i, image := range images {
		w := float32(weights[i] / total)
		for c, v := range moved(image, cols, rows, at[i].dx, at[i].dy) {
			mean[c] += w * v
		}
	}
	return mean
}

// lay finds the movement of image that makes its cosine with mean greatest.
func lay(mean, image []float32, cols, rows int) stance {
	var memo [2*stanceCols + 3][2*stanceRows + 3]float64
	score := func(dx, dy int) float64 {
		m := &memo[dx+stanceCols+1][dy+stanceRows+1]
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
	for dy := -stanceRows; dy <= stanceRows; dy++ {
		for dx := -stanceCols; dx <= stanceCols; dx++ {
			if c := score(dx, dy); c > best {
				bestX, bestY, best = dx, dy, c
			}
		}
	}
	return stance{
		float64(bestX) + crest(score(bestX-1, bestY), best, score(bestX+1, bestY)),
		float64(bestY) + crest(score(bestX, bestY-1), best, score(bestX, bestY+1)),
	}
}

// crest returns where the parabola through (-1, a), (0, b), (1, c) is highest, at
// most half a step from the middle.
func crest(a, b, c float64) float64 {
	bend := a - 2*b + c
	if bend >= 0 {
		return 0
	}
	return min(max((a-c)/(2*bend), -0.5), 0.5)
}

// span returns the first and the last of values between which lie all but 1 % of
// their sum on either side.
func middle98(values []float64) (first, last int) {
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
