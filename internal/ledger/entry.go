package ledger

import "tenoff/internal/bullpen"

// Defaults are what a reading has that does not say so itself.
type Defaults struct {
	Unit bullpen.Unit
	Step float64 // of the display, in Unit; a finer value makes its own step finer
	Gun  bullpen.GunPlace
}

// Entry is one reading as typed, pasted or imported.
type Entry struct {
	Line    int              // where it stood, from 1
	Text    string           // as it was typed
	Reading *bullpen.Reading // nil holds the place of a rep that was not read
	Pitch   bullpen.Pitch    // "" if not said
}

// ParseReadings reads a run ("55 fb 47 ch 46 ch"), a pasted column, or CSV with a
// header that has a column reading. Errors are *bullpen.Error of code Invalid and
// name the line.
func ParseReadings(text string, d Defaults) ([]Entry, error) { return nil, nil }

// Pair is one reading beside one rep; either may be missing.
type Pair struct {
	Entry *Entry
	Rep   *bullpen.Rep
	Doubt string // one sentence that asks whether the reading can be right
}

// Preview is how readings would fall on reps.
type Preview struct {
	Pairs   []Pair // in order; surplus on either side is in its place
	Matched int    // pairs that have both
	Over    int    // entries without a rep
	Missing int    // reps without an entry
}

// Match lays entries beside reps in the order thrown, the first entry on the first
// rep. A positive shift leaves that many reps free before the first entry; a
// negative one leaves that many entries out before the first rep. Nothing is ever
// shifted unasked.
func Match(entries []Entry, reps []bullpen.Rep, shift int) Preview { return Preview{} }
