package film

import "tenoff/internal/bullpen"

// WorkingRate is how many ticks a second the working copy's times have.
const WorkingRate = 90000

// WorkingTicks returns the time of each of the film's frames in its working copy,
// in ticks of 1/WorkingRate s: the first is 0. A page shows frame i for certain
// when it seeks to the middle of [i, i+1), not to i's own time.
func WorkingTicks(c bullpen.Clock) []int64 {
	ticks := make([]int64, c.Frames())
	for i := range ticks {
		ticks[i] = rescale((c.Ticks[i]-c.Ticks[0])*c.Num, WorkingRate, c.Den)
	}
	return ticks
}

// rescale returns a*b/c to the nearest, halves away from zero, as ffmpeg rounds
// times between time bases. a and b are not negative, c is positive.
func rescale(a, b, c int64) int64 {
	whole, rest := a/c, a%c
	return whole*b + (rest*b+c/2)/c
}
