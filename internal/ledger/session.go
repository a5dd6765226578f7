package ledger

import (
	"cmp"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
)

// Session is one bullpen with everything the ledger writes of it.
type Session struct {
	judged.Bullpen                   // her label is written to JSON only, if there is one
	Clips          map[string]string // rep ID to the file name of its clip; may be nil
	Postures       judged.Postures   // what was measured of her joints; may be nil
}

// Rows returns the session's table, in the order thrown.
func (s Session) Rows() []Row {
	films := make(map[string]bullpen.Film, len(s.Films))
	for _, f := range s.Films {
		films[f.ID] = f.Film
	}
	rows := make([]Row, 0, len(s.Reps))
	for i, r := range s.Reps {
		var n bullpen.RepNumbers
		if i < len(s.Sheet.Reps) {
			n = s.Sheet.Reps[i]
		}
		row := s.row(r, n, films[r.FilmID])
		if i < len(s.Body.Reps) {
			row.body(s.Body.Reps[i])
		}
		row.posture(s.Postures[r.ID])
		rows = append(rows, row)
	}
	slices.SortStableFunc(rows, func(a, b Row) int { return cmp.Compare(a.Order, b.Order) })
	return rows
}
