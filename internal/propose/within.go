package propose

import (
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/trace"
)

// Within returns within how many frames of a film's clock an instant surely lies that is
// found about a real second, with a standard deviation of spread seconds about what the marks
// say: 1 at least. What lies within one frame of that is sure; of all else it is said within
// how many, whatever the rate of the film. The marks' own error (tempo.MarkUncertainty) is
// not in it: it moves all that is found from them alike, and whoever reads the number is told
// that it counts from the marks.
func Within(c bullpen.Clock, about, spread float64) int {
	return max(int(math.Ceil(trace.Surely*spread/GapAt(c, about))), 1)
}
