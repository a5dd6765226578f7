package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"tenoff/internal/bullpen"
)

// mostEntries is how many entries a pitcher's day takes: nobody throws as many.
const mostEntries = 1000

// An entry is a rep's while that rep is there.
const (
	fieldEntryFields = `e.id, e.pitcher_id, coalesce(e.bullpen_id, ''), e.day, e.at, e.revision, e.undone, e.pitch, e.reading, e.unit, e.called, coalesce(r.id, '')`
	fieldEntryFrom   = `field_entries e LEFT JOIN reps r ON r.id = e.rep_id AND r.deleted = 0`
	noRep            = `NOT EXISTS (SELECT 1 FROM reps WHERE id = field_entries.rep_id AND deleted = 0)`
)

func onlyFieldEntry(row scanner) (e bullpen.FieldEntry, err error) {
	var value sql.NullFloat64
	err = row.Scan(&e.ID, &e.PitcherID, &e.BullpenID, &e.Day, &e.At, &e.Revision, &e.Undone, &e.Pitch, &value, &e.Reading.Unit, &e.Call, &e.RepID)
	if !value.Valid {
		e.Reading = bullpen.TypedReading{}
	}
	e.Reading.Value = value.Float64
	return e, err
}

// KeepEntries stores entries as phones send them: again, late, in any order, from several
// phones. Of one entry the highest revision stands; one that is a rep's already, or was
// set aside, stays as it is. It returns why some are not taken, by their IDs.
func (s *Store) KeepEntries(ctx context.Context, entries []bullpen.FieldEntry) (refused map[string]string, err error) {
	refused = map[string]string{}
	err = s.tx(ctx, func(tx *tx) error {
		lessons := map[[3]string]bool{}
		for _, e := range entries {
			why, changed, err := tx.keepEntry(e)
			if err != nil {
				return err
			}
			if why != "" {
				refused[e.ID] = why
			}
			if changed {
				lessons[[3]string{e.PitcherID, e.Day, e.BullpenID}] = true
			}
		}
		for l := range lessons {
			if err := tx.touchLesson(l[0], l[1], l[2]); err != nil {
				return err
			}
		}
		return nil
	})
	return refused, err
}

// keepEntry stores one entry, and says why it does not or that it was not as it is.
func (t *tx) keepEntry(e bullpen.FieldEntry) (why string, changed bool, err error) {
	var there, known, many int
	err = t.QueryRow(`SELECT (SELECT count(*) FROM pitchers WHERE id = ?1 AND academy_id = ?2), (SELECT count(*) FROM field_entries WHERE id = ?4 AND academy_id = ?2), (SELECT count(*) FROM field_entries WHERE pitcher_id = ?1 AND day = ?3)`,
		e.PitcherID, t.academy, e.Day, e.ID).Scan(&there, &known, &many)
	if err != nil {
		return "", false, err
	}
	if there == 0 {
		return "This pitcher is not known any more; the laptop does not take what is typed for her.", false, nil
	}
	if known == 0 && many >= mostEntries {
		return "So many readings of one day are not taken.", false, nil
	}
	var value any
	if e.Reading.Value > 0 {
		value = e.Reading.Value
	}
	var id string
	err = t.QueryRow(`INSERT INTO field_entries (id, academy_id, pitcher_id, bullpen_id, day, at, revision, undone, pitch, reading, unit, called, aside)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 0)
		ON CONFLICT (academy_id, id) DO UPDATE SET pitcher_id = excluded.pitcher_id, bullpen_id = excluded.bullpen_id, day = excluded.day, at = excluded.at,
			revision = excluded.revision, undone = excluded.undone, pitch = excluded.pitch, reading = excluded.reading, unit = excluded.unit, called = excluded.called,
			rep_id = NULL -- one that was taken out had what was typed before
		WHERE excluded.revision > field_entries.revision AND field_entries.aside = 0 AND `+noRep+` RETURNING id`,
		e.ID, t.academy, e.PitcherID, null(e.BullpenID), e.Day, e.At, e.Revision, e.Undone, e.Pitch, value, e.Reading.Unit, e.Call).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		why, err = t.stays(e)
		return why, false, err
	}
	return "", err == nil, err
}

// stays says why what is stored of an entry was not changed to e; "" where it says as much
// already, or something later.
func (t *tx) stays(e bullpen.FieldEntry) (why string, err error) {
	var revision int64
	var place int
	err = t.QueryRow(`SELECT e.revision, coalesce(r.place, 0) FROM `+fieldEntryFrom+` WHERE e.id = ? AND e.academy_id = ?`, e.ID, t.academy).Scan(&revision, &place)
	switch {
	case err != nil || revision >= e.Revision:
		return "", err
	case place > 0:
		return fmt.Sprintf("This reading is rep %d's already; change it on the laptop.", place), nil
	}
	return "This reading was set aside on the laptop; take it back there before it is changed.", nil
}

// touchLesson raises the revision of the bullpens that a lesson's entries may belong to.
func (t *tx) touchLesson(pitcherID, day, bullpenID string) error {
	ids, err := all(t.ctx, t.Tx, text, `SELECT id FROM bullpens WHERE academy_id = ?1 AND (id = ?2 OR ?2 = '' AND pitcher_id = ?3 AND day = ?4)`, t.academy, bullpenID, pitcherID, day)
	if err != nil {
		return err
	}
	for _, id := range ids {
		if _, err := t.touch(id); err != nil {
			return err
		}
	}
	t.jobs = t.jobs || len(ids) == 0 // the first page looks again
	return nil
}

// LessonEntries lists the entries that a bullpen's reps may have: of its pitcher and day,
// or sent by a link that names it; not those of another bullpen's reps, nor what was taken
// back or set aside. In the order typed.
func (s *Store) LessonEntries(ctx context.Context, pen bullpen.Bullpen) ([]bullpen.FieldEntry, error) {
	return all(ctx, s.read, onlyFieldEntry, `SELECT `+fieldEntryFields+` FROM `+fieldEntryFrom+`
		WHERE e.academy_id = ?1 AND (e.bullpen_id = ?2 OR e.bullpen_id IS NULL AND e.pitcher_id = ?3 AND e.day = ?4)
		AND e.undone = 0 AND e.aside = 0 AND (r.id IS NULL OR r.bullpen_id = ?2) ORDER BY e.at, e.id`, s.own(ctx), pen.ID, pen.PitcherID, pen.Day)
}

// Lessons lists the lessons that have entries which belong to no rep yet, latest first.
func (s *Store) Lessons(ctx context.Context) ([]bullpen.Lesson, error) {
	return all(ctx, s.read, func(row scanner) (l bullpen.Lesson, err error) {
		return l, row.Scan(&l.PitcherID, &l.Pitcher, &l.Day, &l.Entries, &l.BullpenID)
	}, `SELECT e.pitcher_id, p.label, e.day, count(*), coalesce(e.bullpen_id, (SELECT id FROM bullpens b WHERE b.pitcher_id = e.pitcher_id AND b.day = e.day ORDER BY b.created DESC LIMIT 1), '')
		FROM `+fieldEntryFrom+` JOIN pitchers p ON p.id = e.pitcher_id
		WHERE e.academy_id = ? AND e.undone = 0 AND e.aside = 0 AND r.id IS NULL
		GROUP BY e.pitcher_id, p.label, e.day, e.bullpen_id ORDER BY e.day DESC, max(e.at) DESC`, s.own(ctx))
}

// SetAside says of entries that they are of no use, or (back) that they are after all.
func (s *Store) SetAside(ctx context.Context, bullpenID string, ids []string, back bool) error {
	return s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "bullpen", "bullpens", bullpenID); err != nil {
			return err
		}
		for _, id := range ids {
			res, err := tx.Exec(`UPDATE field_entries SET aside = ?1, rep_id = NULL WHERE id = ?2 AND academy_id = ?3 AND `+noRep+`
				AND (bullpen_id = ?4 OR bullpen_id IS NULL AND (pitcher_id, day) = (SELECT pitcher_id, day FROM bullpens WHERE id = ?4))`, !back, id, tx.academy, bullpenID)
			if err := hit(res, err, "reading from the field"); err != nil {
				return err
			}
		}
		_, err := tx.touch(bullpenID)
		return err
	})
}

// FieldMatch returns what was found last of a bullpen's entries, and what it hung on; ""
// for nothing yet.
func (s *Store) FieldMatch(ctx context.Context, bullpenID string) (inputs, found string, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT inputs, found FROM field_matches WHERE bullpen_id = ? AND academy_id = ?`, bullpenID, s.own(ctx)).Scan(&inputs, &found)
	if errors.Is(err, sql.ErrNoRows) {
		return "", "", nil
	}
	return inputs, found, explain(err)
}

// KeepFieldMatch stores what was found of a bullpen's entries.
func (s *Store) KeepFieldMatch(ctx context.Context, bullpenID, inputs, found string) error {
	return s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "bullpen", "bullpens", bullpenID); err != nil {
			return err
		}
		_, err := tx.Exec(`INSERT INTO field_matches (bullpen_id, academy_id, inputs, found) VALUES (?, ?, ?, ?)
			ON CONFLICT (bullpen_id) DO UPDATE SET inputs = excluded.inputs, found = excluded.found`, bullpenID, tx.academy, inputs, found)
		if err != nil {
			return err
		}
		_, err = tx.touch(bullpenID)
		return err
	})
}

// BullpensWithEntries lists the bullpens that have entries which belong to no rep yet.
func (s *Store) BullpensWithEntries(ctx context.Context) ([]string, error) {
	return all(ctx, s.read, text, `SELECT DISTINCT b.id FROM `+fieldEntryFrom+` JOIN bullpens b ON b.id = e.bullpen_id OR e.bullpen_id IS NULL AND b.pitcher_id = e.pitcher_id AND b.day = e.day
		WHERE e.academy_id = ? AND e.undone = 0 AND e.aside = 0 AND r.id IS NULL`, s.own(ctx))
}

// detach lets go of what is no rep's of a bullpen that is to be removed: it waits for
// another of the pitcher's day.
func (t *tx) detach(bullpenID string) error {
	lessons, err := all(t.ctx, t.Tx, func(row scanner) (l [2]string, err error) { return l, row.Scan(&l[0], &l[1]) },
		`UPDATE field_entries SET bullpen_id = NULL, rep_id = NULL WHERE (bullpen_id = ?1 OR rep_id IN (SELECT id FROM reps WHERE bullpen_id = ?1)) AND `+noRep+`
		RETURNING pitcher_id, day`, bullpenID)
	for _, l := range lessons {
		err = errors.Join(err, t.touchLesson(l[0], l[1], ""))
	}
	return err
}
