package store

import (
	"tenoff/internal/bullpen"
)

// renumber puts a bullpen's reps in order and numbers them 1, 2, 3 ...: those with
// a release lie as on the films; one without stays behind the one it was entered
// behind.
func renumber(tx *tx, bullpenID string) error {
	type entry struct {
		id                     string
		place, position, frame int
		filmed                 bool
	}
	entries, err := all(tx.ctx, tx.Tx, func(row scanner) (e entry, err error) {
		err = row.Scan(&e.id, &e.place, &e.position, &e.frame)
		e.filmed = e.position >= 0 && e.frame >= 0
		return e, err
	}, `SELECT r.id, r.place, coalesce(f.position, -1), r."release" FROM reps r LEFT JOIN films f ON f.id = r.film_id
		WHERE r.bullpen_id = ? AND r.deleted = 0 ORDER BY r.place, r.created, r.id`, bullpenID)
	if err != nil {
		return err
	}
	// Insertion keeps what has no place on a film where it is.
	ordered := make([]entry, 0, len(entries))
	for _, e := range entries {
		at := len(ordered)
		if e.filmed {
			for i := len(ordered) - 1; i >= 0; i-- {
				o := ordered[i]
				if !o.filmed {
					continue
				}
				if o.position < e.position || o.position == e.position && o.frame <= e.frame {
					break
				}
				at = i
			}
		}
		ordered = append(ordered, entry{})
		copy(ordered[at+1:], ordered[at:])
		ordered[at] = e
	}
	for i, e := range ordered {
		if e.place == i+1 {
			continue
		}
		if _, err := tx.Exec(`UPDATE reps SET place = ? WHERE id = ?`, i+1, e.id); err != nil {
			return err
		}
	}
	return tx.layReps(bullpenID)
}

// move puts a rep at another place; the ones between close up.
func move(tx *tx, r bullpen.Rep, from int) error {
	step, lo, hi := 1, r.Order, from-1
	if r.Order > from {
		step, lo, hi = -1, from+1, r.Order
	}
	if _, err := tx.Exec(`UPDATE reps SET place = place + ? WHERE bullpen_id = ? AND deleted = 0 AND place BETWEEN ? AND ?`, step, r.BullpenID, lo, hi); err != nil {
		return err
	}
	_, err := tx.Exec(`UPDATE reps SET place = ? WHERE id = ?`, r.Order, r.ID)
	return err
}
