package judged

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// Fill is how the shape of the rep at index i of the bullpen is filled on a target.
func (b Bullpen) Fill(i int) bullpen.Fill {
	r := b.Reps[i]
	pace, _ := b.Body.RepAt(i, r.ID)
	switch {
	case b.Sheet.Reps[i].Verdict != bullpen.InBand || pace.Verdict != "":
		return bullpen.Empty
	case r.FilmID == "" || pace.Told == tempo.SameBody:
		return bullpen.Full
	case pace.Told == "" || pace.Told == tempo.CantTell:
		return bullpen.Half
	}
	return bullpen.Empty
}
