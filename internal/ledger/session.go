package ledger

import (
	"io"

	"tenoff/internal/bullpen"
)

// Session is one bullpen with everything the ledger writes of it.
type Session struct {
	Pitcher bullpen.Pitcher
	Bullpen bullpen.Bullpen
	Films   []bullpen.Film
	Reps    []bullpen.Rep
	Sheet   bullpen.Sheet     // bullpen.Judge of the above
	Clips   map[string]string // rep ID to the file name of its clip; may be nil
}

// WriteCSV writes a header and one line per rep, in the order thrown: one bullpen,
// or all of a pitcher's. Columns lists the columns.
func WriteCSV(w io.Writer, sessions ...Session) error { return nil }

// WriteJSON writes {"bullpens": [...]}: every bullpen with its reps (the columns of
// the CSV under the same names) and its summaries.
func WriteJSON(w io.Writer, sessions ...Session) error { return nil }
