// Package bullpen is the domain: pitchers, bullpens, films, reps, and the
// numbers that follow from them (baseline, gap, verdict, summary).
//
// It is pure: no file, process, clock, database or HTTP, and it imports nothing
// else of this module. The words are the trade's; see README.md for the few that
// are ours.
package bullpen
