package bullpen

import (
	"math"

	"tenoff/internal/evidence"
)

// fewest is how many readings of either pitch a chance and any advice take; below enough a
// verdict is said "so far".
const fewest, enough = 3, 5

// nextBetween returns the chance, 0..1, that the next reading of a display with the given
// step, > 0, shows a value from lo to hi, given what is known of the next speed, all in
// the display's unit. The display shows multiples of its step: the chance is the mass over
// the rounding cells, half a step to either side, of every multiple from lo to hi.
func nextBetween(next evidence.Estimate, step, lo, hi float64) float64 {
	first, last := math.Ceil(exact(lo/step)), math.Floor(exact(hi/step))
	if first > last {
		return 0
	}
	return next.Between((first-0.5)*step, (last+0.5)*step)
}
