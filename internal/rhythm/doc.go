// Package rhythm finds which reps of a film the readings belong to that were typed at
// the fence: it lays the clock times of the entries over the times of the reps. A
// reading that was missed, or a throw that nobody typed in for, breaks the rhythm at
// its place and is seen by it. Pure.
package rhythm
