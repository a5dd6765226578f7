// Package tempo answers the question the job turns on: did the body slow down?
//
// It holds the four instants of a delivery and the times between them, the
// comparison of off-speed reps with the pitcher's own fastballs, the same-body
// check, and the share of the gap that the body made. It also finds the four
// instants in every rep of a film from those marked on one fastball (event
// transfer).
//
// It is pure: arrays in, numbers out. Times are real seconds.
package tempo
