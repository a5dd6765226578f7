// Package field joins what was typed at the fence with the reps of a film: by the rhythm
// of both it finds which rep each entry belongs to, whenever entries, films, reps or
// proposals change. What it finds is a proposal: nothing counts in any number until
// somebody said yes.
package field
