package store

import (
	"database/sql"
	"errors"

	"tenoff/internal/bullpen"
)

// checkMarks refuses a mark on a film of another bullpen or outside the film.
func checkMarks(tx *tx, r bullpen.Rep) error {
	marks := []int{r.Drive, r.Plant, r.Top, r.Release}
	last := bullpen.Unmarked
	for _, m := range marks {
		last = max(last, m)
	}
	if r.FilmID == "" {
		if last >= 0 {
			return bullpen.Errorf(bullpen.Invalid, "A mark needs the film it lies on.")
		}
		return nil
	}
	var bullpenID string
	var packed []byte
	err := tx.QueryRow(`SELECT bullpen_id, ticks FROM films WHERE id = ?`, r.FilmID).Scan(&bullpenID, &packed)
	if errors.Is(err, sql.ErrNoRows) || err == nil && bullpenID != r.BullpenID {
		return bullpen.Errorf(bullpen.Invalid, "That film is not one of this bullpen's.")
	}
	if err != nil {
		return err
	}
	ticks, err := unpackTicks(packed)
	if err != nil {
		return err
	}
	if last >= len(ticks) {
		return bullpen.Errorf(bullpen.Invalid, "Frame %d lies after the end of the film, which has %d frames.", last, len(ticks))
	}
	return nil
}
