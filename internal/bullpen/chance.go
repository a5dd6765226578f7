package bullpen

import "math"

// fewest is how many readings a chance takes.
const fewest = 3

// NextBetween returns the chance, 0..1, that the next reading of a display with
// the given step, > 0, shows a value from lo to hi, given the readings so far (at
// least two, in the display's unit).
//
// Readings are taken as normal with unknown mean and spread, so the next one
// follows Student's t with n-1 degrees of freedom about the mean, scaled by
// s sqrt(1+1/n) (prediction of one future value: Hahn and Meeker, Statistical
// Intervals, 1991, chapter 4, from memory). The baseline is taken as it stands. From
// few readings the chance of a pitch that sits mid-band comes out low rather than
// high, as what is not known of the spread counts against it. The display shows multiples of its step: the
// chance is the distribution's mass over the rounding cells, half a step to either
// side, of every multiple from lo to hi. A spread that the display can't show is
// taken as what rounding alone makes, step/sqrt(12).
func NextBetween(readings Sample, step, lo, hi float64) float64 {
	first, last := math.Ceil(exact(lo/step)), math.Floor(exact(hi/step))
	if first > last {
		return 0
	}
	n := float64(readings.N)
	scale := max(readings.SD, step/math.Sqrt(12)) * math.Sqrt(1+1/n)
	below := func(x float64) float64 { return TBelow((x-readings.Mean)/scale, n-1) }
	return max(0, below((last+0.5)*step)-below((first-0.5)*step))
}
