package store

import (
	"context"
	"database/sql"
	"errors"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
)

const repFields = `r.id, r.version, r.bullpen_id, coalesce(r.film_id, ''), r.drive, r.plant, r.top, r."release", r.place,
	r.pitch, r.reading, r.unit, r.step, r.gun, r.drill, r.set_number, r.number, r.called, r.sure, r.warm_up, r.note`

func repFrom(row scanner, more ...any) (r bullpen.Rep, err error) {
	var value sql.NullFloat64
	var read bullpen.Reading
	err = row.Scan(append([]any{&r.ID, &r.Version, &r.BullpenID, &r.FilmID, &r.Drive, &r.Plant, &r.Top, &r.Release, &r.Order,
		&r.Pitch, &value, &read.Unit, &read.Step, &read.Gun, &r.Drill, &r.Set, &r.Number, &r.Call, &r.Sure, &r.WarmUp, &r.Note}, more...)...)
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

// Rep returns one rep that has not been taken out.
func (s *Store) Rep(ctx context.Context, id string) (bullpen.Rep, error) {
	r, err := onlyRep(s.read.QueryRowContext(ctx, `SELECT `+repFields+` FROM reps r WHERE r.id = ? AND r.deleted = 0 AND r.academy_id = ?`, id, s.own(ctx)))
	return r, one(err, "rep")
}

// AddRep stores a new rep and returns it with ID, version and place: where its
// release lies on the bullpen's films, or behind all others. It returns the
// bullpen's new revision too.
func (s *Store) AddRep(ctx context.Context, r bullpen.Rep) (bullpen.Rep, int64, error) {
	return s.AddRepOnce(ctx, r, "")
}

// AddRepOnce is AddRep for a caller that may send a rep again because it lost the
// answer. The rep that was stored under the name sentAs in that bullpen is returned
// as it is now; one that was taken out since is NotFound.
func (s *Store) AddRepOnce(ctx context.Context, r bullpen.Rep, sentAs string) (bullpen.Rep, int64, error) {
	var revision int64
	err := s.tx(ctx, func(tx *tx) (err error) {
		if sentAs != "" {
			known, at, err := sentBefore(tx, r.BullpenID, sentAs)
			if err != nil || known.ID != "" {
				r, revision = known, at
				return err
			}
		}
		if r, err = s.addRep(tx, r, sentAs); err != nil {
			return err
		}
		revision, err = tx.touch(r.BullpenID)
		return err
	})
	return r, revision, err
}

// sentBefore returns the rep that was stored under a name, and its bullpen's
// revision; the zero rep for none.
func sentBefore(tx *tx, bullpenID, sentAs string) (r bullpen.Rep, revision int64, err error) {
	var deleted bool
	r, err = repFrom(tx.QueryRow(`SELECT `+repFields+`, r.deleted > 0, b.revision FROM reps r JOIN bullpens b ON b.id = r.bullpen_id
		WHERE r.bullpen_id = ? AND r.sent_as = ? AND r.sent_as <> '' AND r.academy_id = ?`, bullpenID, sentAs, tx.academy), &deleted, &revision)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return bullpen.Rep{}, 0, nil
	case err == nil && deleted:
		err = notFound("rep")
	}
	return r, revision, err
}

func (s *Store) addRep(tx *tx, r bullpen.Rep, sentAs string) (bullpen.Rep, error) {
	if err := s.owns(tx, "bullpen", "bullpens", r.BullpenID); err != nil {
		return r, err
	}
	id, err := insertRep(tx, r, sentAs)
	if err != nil {
		return r, err
	}
	put := tx.layReps // it stands behind all others already
	if r.FilmID != "" && r.Release >= 0 {
		put = func(id string) error { return renumber(tx, id) }
	}
	if err := put(r.BullpenID); err != nil {
		return r, err
	}
	return onlyRep(tx.QueryRow(`SELECT `+repFields+` FROM reps r WHERE r.id = ?`, id))
}

// insertRep stores a new rep behind all others of its bullpen.
func insertRep(tx *tx, r bullpen.Rep, sentAs string) (id string, err error) {
	if err := checkMarks(tx, r); err != nil {
		return "", err
	}
	id, r.Drill = newID(), bullpen.DrillName(r.Drill)
	columns, values := repValues(r)
	_, err = tx.Exec(`INSERT INTO reps (id, academy_id, bullpen_id, pitcher_id, day, begun, sent_as, version, created, deleted, place, `+strings.Join(columns, ", ")+`)
		SELECT ?, ?, b.id, b.pitcher_id, b.day, b.created, ?, 1, ?, 0, 1 + (SELECT coalesce(max(place), 0) FROM reps WHERE bullpen_id = b.id AND deleted = 0)`+
		strings.Repeat(", ?", len(columns))+` FROM bullpens b WHERE b.id = ?`,
		slices.Concat([]any{id, tx.academy, sentAs, tx.now}, values, []any{r.BullpenID})...)
	return id, err
}

// sameReading says whether both reps have the same reading of the same pitch.
func sameReading(a, b bullpen.Rep) bool {
	if a.Reading == nil || b.Reading == nil {
		return a.Reading == b.Reading
	}
	return *a.Reading == *b.Reading && a.Pitch == b.Pitch
}

// repValues are the columns of a rep that somebody may change, and what they are: what is
// added with a rep and saved with it is this one list.
func repValues(r bullpen.Rep) (columns []string, values []any) {
	reading, read := readingFields(r)
	for _, c := range []struct {
		name  string
		value any
	}{
		{"film_id", null(r.FilmID)}, {"drive", r.Drive}, {"plant", r.Plant}, {"top", r.Top}, {`"release"`, r.Release},
		{"pitch", r.Pitch}, {"reading", reading}, {"unit", read.Unit}, {"step", read.Step}, {"gun", read.Gun},
		{"drill", r.Drill}, {"set_number", r.Set}, {"number", r.Number}, {"called", r.Call}, {"sure", r.Sure},
		{"warm_up", r.WarmUp}, {"note", r.Note},
	} {
		columns, values = append(columns, c.name), append(values, c.value)
	}
	return columns, values
}

// changedIn is what to set of a stored rep so that it becomes another: only what differs,
// for whatever is set is written again into each index that it is in.
func changedIn(stored, now bullpen.Rep) (set []string, values []any) {
	_, before := repValues(stored)
	columns, after := repValues(now)
	for i, c := range columns {
		if before[i] != after[i] {
			set, values = append(set, c+" = ?"), append(values, after[i])
		}
	}
	return set, values
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

// SaveRep stores r if r.Version is still the current one, and returns it as it is
// now with the bullpen's new revision.
func (s *Store) SaveRep(ctx context.Context, r bullpen.Rep) (bullpen.Rep, int64, error) {
	revision, err := s.SaveReps(ctx, []bullpen.Rep{r})
	if err != nil {
		return r, 0, err
	}
	r, err = s.Rep(ctx, r.ID)
	return r, revision, err
}

// SaveReps stores several reps of one bullpen, all or none, and returns the
// bullpen's new revision.
func (s *Store) SaveReps(ctx context.Context, reps []bullpen.Rep) (revision int64, err error) {
	return s.saveReps(ctx, reps, nil)
}

// saveReps stores reps; beside, if not nil, stores what else changes with each of them.
func (s *Store) saveReps(ctx context.Context, reps []bullpen.Rep, beside func(tx *tx, was, now bullpen.Rep) error) (revision int64, err error) {
	if len(reps) == 0 {
		return 0, nil
	}
	err = s.tx(ctx, func(tx *tx) error {
		revision, err = tx.saveReps(reps, beside)
		return err
	})
	return revision, err
}

func (t *tx) saveReps(reps []bullpen.Rep, beside func(tx *tx, was, now bullpen.Rep) error) (revision int64, err error) {
	moved := map[string]bool{} // by bullpen
	for _, r := range reps {
		was, elsewhere, err := saveRep(t, r)
		if err != nil {
			return 0, err
		}
		moved[was.BullpenID] = moved[was.BullpenID] || elsewhere
		if beside != nil {
			if err := beside(t, was, r); err != nil {
				return 0, err
			}
		}
	}
	for bullpenID, elsewhere := range moved {
		put := t.layReps
		if elsewhere {
			put = func(id string) error { return renumber(t, id) }
		}
		if err := put(bullpenID); err != nil {
			return 0, err
		}
		if revision, err = t.touch(bullpenID); err != nil {
			return 0, err
		}
	}
	return revision, nil
}

// saveRep stores one rep and reports how it was and whether it may have got another
// place.
func saveRep(tx *tx, r bullpen.Rep) (was bullpen.Rep, moved bool, err error) {
	was, err = onlyRep(tx.QueryRow(`SELECT `+repFields+` FROM reps r WHERE r.id = ? AND r.deleted = 0 AND r.academy_id = ?`, r.ID, tx.academy))
	if err != nil {
		return was, false, one(err, "rep")
	}
	r.BullpenID, r.Drill = was.BullpenID, bullpen.DrillName(r.Drill)
	if r.FilmID != was.FilmID || r.Drive != was.Drive || r.Plant != was.Plant || r.Top != was.Top || r.Release != was.Release {
		moved = true
		if err := checkMarks(tx, r); err != nil {
			return was, false, err
		}
	}
	if was.Sure && !sameReading(was, r) { // it was said of another one
		r.Sure = false
	}
	set, values := changedIn(was, r)
	err = tx.update("rep", "reps", r.ID, r.Version, strings.Join(set, ", "), values...)
	if err == nil && r.Order > 0 && r.Order != was.Order {
		moved, err = true, move(tx, r, was.Order)
	}
	return was, moved, err
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
		err := tx.QueryRow(`SELECT bullpen_id, version, deleted FROM reps WHERE id = ? AND academy_id = ?`, id, s.own(ctx)).Scan(&bullpenID, &now, &deleted)
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
		if !gone { // it comes back in front of what took its place
			if _, err := tx.Exec(`UPDATE reps SET place = place + 1 WHERE bullpen_id = ?1 AND deleted = 0 AND id <> ?2
				AND place >= (SELECT place FROM reps WHERE id = ?2)`, bullpenID, id); err != nil {
				return err
			}
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
