package store

import (
	"context"
	"database/sql"
	"errors"

	"tenoff/internal/bullpen"
)

const repFields = `r.id, r.version, r.bullpen_id, coalesce(r.film_id, ''), r.drive, r.plant, r.top, r."release", r.place,
	r.pitch, r.reading, r.unit, r.step, r.gun, r.drill, r.set_number, r.number, r.called, r.warm_up, r.note`

func repFrom(row scanner, more ...any) (r bullpen.Rep, err error) {
	var value sql.NullFloat64
	var read bullpen.Reading
	err = row.Scan(append([]any{&r.ID, &r.Version, &r.BullpenID, &r.FilmID, &r.Drive, &r.Plant, &r.Top, &r.Release, &r.Order,
		&r.Pitch, &value, &read.Unit, &read.Step, &read.Gun, &r.Drill, &r.Set, &r.Number, &r.Call, &r.WarmUp, &r.Note}, more...)...)
	if err != nil {
		return r, err
	}
	if value.Valid {
		read.Value = value.Float64
		r.Reading = &read
	}
	return r, nil
}

func onlyRep(row scanner) (bullpen.Rep, error) { return repFrom(row) }

// Reps lists a bullpen's reps as thrown.
func (s *Store) Reps(ctx context.Context, bullpenID string) ([]bullpen.Rep, error) {
	return all(ctx, s.read, onlyRep, ledgerQuery, bullpenID, s.academy)
}

const ledgerQuery = `SELECT ` + repFields + ` FROM reps r
	WHERE r.bullpen_id = ? AND r.deleted = 0 AND r.academy_id = ? ORDER BY r.place, r.id`

// Rep returns one rep that has not been taken out.
func (s *Store) Rep(ctx context.Context, id string) (bullpen.Rep, error) {
	r, err := onlyRep(s.read.QueryRowContext(ctx, `SELECT `+repFields+` FROM reps r WHERE r.id = ? AND r.deleted = 0 AND r.academy_id = ?`, id, s.academy))
	return r, one(err, "rep")
}

// AddRep stores a new rep and returns it with ID, version and place: where its
// release lies on the bullpen's films, or behind all others. It returns the
// bullpen's new revision too.
func (s *Store) AddRep(ctx context.Context, r bullpen.Rep) (bullpen.Rep, int64, error) {
	var revision int64
	err := s.tx(ctx, func(tx *tx) (err error) {
		if r, err = s.addRep(tx, r); err != nil {
			return err
		}
		revision, err = tx.touch(r.BullpenID)
		return err
	})
	return r, revision, err
}

func (s *Store) addRep(tx *tx, r bullpen.Rep) (bullpen.Rep, error) {
	if err := s.owns(tx, "bullpen", "bullpens", r.BullpenID); err != nil {
		return r, err
	}
	if err := checkFilm(tx, r); err != nil {
		return r, err
	}
	r.ID, r.Version = newID(), 1
	value, read := readingFields(r)
	_, err := tx.Exec(`INSERT INTO reps (id, academy_id, bullpen_id, pitcher_id, day, version, created, deleted, film_id,
		drive, plant, top, "release", place, pitch, reading, unit, step, gun, drill, set_number, number, called, warm_up, note)
		SELECT ?, ?, b.id, b.pitcher_id, b.day, 1, ?, 0, ?, ?, ?, ?, ?, 1 + (SELECT coalesce(max(place), 0) FROM reps WHERE bullpen_id = b.id AND deleted = 0),
		?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ? FROM bullpens b WHERE b.id = ?`,
		r.ID, s.academy, tx.now, null(r.FilmID), r.Drive, r.Plant, r.Top, r.Release,
		r.Pitch, value, read.Unit, read.Step, read.Gun, r.Drill, r.Set, r.Number, r.Call, r.WarmUp, r.Note, r.BullpenID)
	if err != nil {
		return r, err
	}
	if err := renumber(tx, r.BullpenID); err != nil {
		return r, err
	}
	return r, tx.QueryRow(`SELECT place FROM reps WHERE id = ?`, r.ID).Scan(&r.Order)
}

// checkFilm refuses a mark on a film of another bullpen or outside the film.
func checkFilm(tx *tx, r bullpen.Rep) error {
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

func readingFields(r bullpen.Rep) (any, bullpen.Reading) {
	if r.Reading == nil {
		return nil, bullpen.Reading{}
	}
	return r.Reading.Value, *r.Reading
}

func null(text string) any {
	if text == "" {
		return nil
	}
	return text
}

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
	return nil
}

// SaveRep stores r if r.Version is still the current one, and returns it as it is
// now with the bullpen's new revision.
func (s *Store) SaveRep(ctx context.Context, r bullpen.Rep) (bullpen.Rep, int64, error) {
	var revision int64
	err := s.tx(ctx, func(tx *tx) (err error) {
		revision, err = s.saveRep(tx, r)
		return err
	})
	if err != nil {
		return r, 0, err
	}
	r, err = s.Rep(ctx, r.ID)
	return r, revision, err
}

// SaveReps stores several reps of one bullpen, all or none.
func (s *Store) SaveReps(ctx context.Context, reps []bullpen.Rep) (revision int64, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		for _, r := range reps {
			if revision, err = s.saveRep(tx, r); err != nil {
				return err
			}
		}
		return nil
	})
	return revision, err
}

func (s *Store) saveRep(tx *tx, r bullpen.Rep) (int64, error) {
	var place int
	err := tx.QueryRow(`SELECT bullpen_id, place FROM reps WHERE id = ? AND deleted = 0 AND academy_id = ?`, r.ID, s.academy).Scan(&r.BullpenID, &place)
	if err != nil {
		return 0, one(err, "rep")
	}
	if err := checkFilm(tx, r); err != nil {
		return 0, err
	}
	value, read := readingFields(r)
	err = tx.update("rep", "reps", r.ID, r.Version, `film_id = ?, drive = ?, plant = ?, top = ?, "release" = ?, pitch = ?,
		reading = ?, unit = ?, step = ?, gun = ?, drill = ?, set_number = ?, number = ?, called = ?, warm_up = ?, note = ?`,
		null(r.FilmID), r.Drive, r.Plant, r.Top, r.Release, r.Pitch,
		value, read.Unit, read.Step, read.Gun, r.Drill, r.Set, r.Number, r.Call, r.WarmUp, r.Note)
	if err != nil {
		return 0, err
	}
	if r.Order > 0 && r.Order != place {
		if err := move(tx, r, place); err != nil {
			return 0, err
		}
	}
	if err := renumber(tx, r.BullpenID); err != nil {
		return 0, err
	}
	return tx.touch(r.BullpenID)
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

// RemoveRep takes a rep out; RestoreRep brings it back. version 0 is whatever it
// is now.
func (s *Store) RemoveRep(ctx context.Context, id string, version int64) (int64, error) {
	return s.setDeleted(ctx, id, version, true)
}

// RestoreRep brings a rep back that was taken out.
func (s *Store) RestoreRep(ctx context.Context, id string) (bullpen.Rep, int64, error) {
	revision, err := s.setDeleted(ctx, id, 0, false)
	if err != nil {
		return bullpen.Rep{}, 0, err
	}
	r, err := s.Rep(ctx, id)
	return r, revision, err
}

func (s *Store) setDeleted(ctx context.Context, id string, version int64, gone bool) (revision int64, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		var bullpenID string
		var now, deleted int64
		err := tx.QueryRow(`SELECT bullpen_id, version, deleted FROM reps WHERE id = ? AND academy_id = ?`, id, s.academy).Scan(&bullpenID, &now, &deleted)
		if err != nil {
			return one(err, "rep")
		}
		switch {
		case gone && deleted != 0:
			return notFound("rep")
		case !gone && deleted == 0: // it is there already
			return tx.QueryRow(`SELECT revision FROM bullpens WHERE id = ?`, bullpenID).Scan(&revision)
		}
		if version != 0 && version != now {
			return stale("rep")
		}
		stamp := int64(0)
		if gone {
			stamp = tx.now
		}
		if _, err := tx.Exec(`UPDATE reps SET deleted = ?, version = version + 1 WHERE id = ?`, stamp, id); err != nil {
			return err
		}
		if err := reopen(tx, id, gone); err != nil {
			return err
		}
		if err := renumber(tx, bullpenID); err != nil {
			return err
		}
		revision, err = tx.touch(bullpenID)
		return err
	})
	return revision, err
}
