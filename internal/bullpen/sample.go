package bullpen

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

// Sample is what is kept of a set of numbers.
type Sample struct {
	N        int
	Mean     float64 // 0 for no numbers
	SD       float64 // n-1 in the divisor; 0 below two numbers
	Min, Max float64
	second   struct{ min, max float64 } // the next lowest and highest, what one of two numbers leaves
}

// SampleOf describes xs. Mean and deviation are computed in two passes (Chan,
// Golub and LeVeque, The American Statistician 37, 1983, algorithm 1.7), because
// one pass loses every digit of a small spread on large numbers.
func SampleOf(xs []float64) Sample {
	if len(xs) == 0 {
		return Sample{}
	}
	s := Sample{N: len(xs), Min: floats.Min(xs), Max: floats.Max(xs)}
	mean := stat.Mean(xs, nil)
	var rest float64 // what rounding left of the first pass
	for _, x := range xs {
		rest += x - mean
	}
	s.Mean = mean + rest/float64(s.N)
	if s.N > 1 {
		s.second.min, s.second.max = seconds(xs)
		s.SD = stat.StdDev(xs, nil)
	}
	return s
}

// seconds returns the second lowest and the second highest number, which are the
// lowest and the highest where that occurs twice.
func seconds(xs []float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	least, most := low, high
	for _, x := range xs {
		low, least = min(low, max(x, least)), min(x, least)
		high, most = max(high, min(x, most)), max(x, most)
	}
	return low, high
}
