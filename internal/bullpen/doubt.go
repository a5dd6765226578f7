package bullpen

import (
	"fmt"
	"math"
	"strconv"
)

// What a reading is asked about.
const (
	doubtBelow, doubtAbove Speed = 15, 90 // mph
	doubtSDs                     = 4
	doubtOthers                  = 3 // as many others show a spread
)

// Doubt returns one sentence that asks whether a reading can be right, or "": it
// lies outside 15..90 mph, or more than four standard deviations from the mean of
// the others, the spread taken as one step of the display at least. others are the
// readings of the same pitch, drill and gun place without this one; it takes three
// of them. A question, never a refusal.
func Doubt(r Reading, others []Reading) string {
	speeds := make([]float64, 0, len(others))
	for _, o := range others {
		if o.Speed().possible() {
			speeds = append(speeds, float64(o.Speed()))
		}
	}
	return doubt(r, SampleOf(speeds))
}

// Doubts returns the Doubt of each reading given all others, in linear time.
func Doubts(all []Reading) []string {
	speeds := make([]float64, 0, len(all))
	for _, r := range all {
		if v := r.Speed(); v.possible() {
			speeds = append(speeds, float64(v))
		}
	}
	together := SampleOf(speeds)
	doubts := make([]string, len(all))
	for i, r := range all {
		if v := r.Speed(); v.possible() {
			doubts[i] = doubt(r, together.without(float64(v)))
		} else {
			doubts[i] = doubt(r, together)
		}
	}
	return doubts
}

// MostRead is the largest number that is taken for a reading, in either unit: what
// lies beyond is a slip of the finger, and refused.
const MostRead = 250

// doubt is Doubt with the others described.
func doubt(r Reading, others Sample) string {
	v := r.Speed()
	switch {
	case !v.possible():
		return fmt.Sprintf("Sure about %s? No ball has that speed.", r)
	case v < doubtBelow || v > doubtAbove:
		return fmt.Sprintf("Sure about %s? It lies outside %.0f to %.0f %s.", r, doubtBelow.In(r.Unit), doubtAbove.In(r.Unit), r.Unit)
	case others.N < doubtOthers:
		return ""
	}
	spread := max(others.SD, float64(SpeedOf(r.Step, r.Unit)))
	if exact(math.Abs(float64(v)-others.Mean)) <= exact(doubtSDs*spread) {
		return ""
	}
	low, high := decimal(Speed(others.Min).In(r.Unit), r.Step), decimal(Speed(others.Max).In(r.Unit), r.Step)
	if low != high {
		low += " to " + high
	}
	return fmt.Sprintf("Sure about %s? The %d others like it read %s %s.", r, others.N, low, r.Unit)
}

// without returns the sample less one of its numbers: in each of n readings' turn the
// others, at the cost of one pass.
func (s Sample) without(x float64) Sample {
	if s.N < 2 {
		return Sample{}
	}
	n := float64(s.N)
	left := Sample{N: s.N - 1, Mean: (n*s.Mean - x) / (n - 1), Min: s.Min, Max: s.Max}
	if x == s.Min {
		left.Min = s.second.min
	}
	if x == s.Max {
		left.Max = s.second.max
	}
	if left.N > 1 {
		squares := (n-1)*s.SD*s.SD - (x-s.Mean)*(x-s.Mean)*n/(n-1)
		left.SD = math.Sqrt(max(0, squares) / (n - 2))
	}
	return left
}

// String returns the reading as the gun showed it, with its unit.
func (r Reading) String() string {
	shown := strconv.FormatFloat(r.Value, 'f', -1, 64)
	if padded := decimal(r.Value, r.Step); len(padded) > len(shown) {
		shown = padded // 55.0 on a display of tenths
	}
	return shown + " " + string(r.Unit)
}

// decimal writes v with as many decimals as a display of that step shows.
func decimal(v, step float64) string {
	decimals := 0
	if step > 0 && step < 1 {
		decimals = min(3, int(math.Ceil(-math.Log10(step)-1e-9)))
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}
