package propose

import (
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/trace"
)

// Within returns within how many frames of a film's clock an instant surely lies that is
// found about a real second, with a standard deviation of spread seconds: 1 at least. What
// lies within one frame is sure; of all else it is said within how many, whatever the rate
// of the film.
func Within(c bullpen.Clock, about, spread float64) int {
	return max(int(math.Ceil(trace.Surely*spread/GapAt(c, about))), 1)
}
