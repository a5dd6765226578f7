package ledger

import (
	"io"

	"tenoff/internal/bullpen"
)

// Line is one line of a REPS.csv.
type Line struct {
	Line    int      // where it stood, from 1
	Frame   int      // release, frame index; bullpen.Unmarked if Seconds says it
	Seconds *float64 // release, seconds from the film's first shown frame; nil if Frame says it
	Film    string   // name of the film; "" if not said
	Pitch   bullpen.Pitch
	Reading *bullpen.Reading // nil if the cell is empty
	Drill   string
	Set     int // 0: not said
	Number  int // rep within the set, 0: not said
	Call    bullpen.Call
	WarmUp  bool
	Note    string
}

// ReadReps reads a REPS.csv: a header with the columns time or frame, pitch and
// reading, and optionally drill, set, rep, film, unit, step, gun, call, warm-up and
// note; others are passed over. A time is seconds (12.48) or minutes (1:02.5).
// What WriteCSV wrote is read back. Errors are *bullpen.Error of code Invalid and
// name the line.
func ReadReps(r io.Reader, d Defaults) ([]Line, error) { return nil, nil }
