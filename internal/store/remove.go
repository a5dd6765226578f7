package store

import (
	"cmp"
	"context"
	"slices"
	"time"
)

// Removal is what a deletion takes away, or would.
type Removal struct {
	Bullpens, Films, Reps         int
	Slips, Shares                 int // links
	Clips                         int // on the shelf
	Copies                        int // of clips, in answers that were sent
	Typed                         int // readings from the field that are no rep's
	FilmIDs, ClipIDs, HomeworkIDs []string
	Files                         []File // nothing names them any more; they have to go from the disk too
}

// Bytes returns how much room the files take.
func (r Removal) Bytes() (n int64) {
	for _, f := range r.Files {
		n += f.Bytes
	}
	return n
}

// What a removal of one pitcher, bullpen or film covers, as conditions on its
// bullpens, films, reps, clips, homework and readings from the field.
type cover struct{ bullpens, films, reps, clips, homeworks, typed string }

var covers = map[string]cover{
	"pitcher": {
		bullpens: `pitcher_id = ?1`,
		films:    `bullpen_id IN (SELECT id FROM bullpens WHERE pitcher_id = ?1)`,
		reps:     `pitcher_id = ?1 AND deleted = 0`,
		clips: `bullpen_id IN (SELECT id FROM bullpens WHERE pitcher_id = ?1) OR other_id IN (SELECT id FROM reps WHERE pitcher_id = ?1)
			OR sent_with IN (SELECT id FROM homeworks WHERE pitcher_id = ?1)`,

		homeworks: `pitcher_id = ?1`,
		typed:     `pitcher_id = ?1`,
	},
	"bullpen": {
		bullpens: `id = ?1`,
		films:    `bullpen_id = ?1`,
		reps:     `bullpen_id = ?1 AND deleted = 0`,
		clips: `bullpen_id = ?1 OR other_id IN (SELECT id FROM reps WHERE bullpen_id = ?1)
			OR sent_with IN (SELECT id FROM homeworks WHERE bullpen_id = ?1)`,

		homeworks: `bullpen_id = ?1`,
		typed:     `id = ?1 AND 1 = 0`, // it waits for another bullpen
	},
	"film": {
		bullpens: `id = ?1 AND 1 = 0`,
		films:    `id = ?1`,
		reps:     `id = ?1 AND 1 = 0`,
		clips:    `rep_id IN (SELECT id FROM reps WHERE film_id = ?1) OR other_id IN (SELECT id FROM reps WHERE film_id = ?1)`,

		homeworks: `id = ?1 AND 1 = 0`,
		typed:     `id = ?1 AND 1 = 0`,
	},
	"clip": {
		bullpens: `id = ?1 AND 1 = 0`,
		films:    `id = ?1 AND 1 = 0`,
		reps:     `id = ?1 AND 1 = 0`,
		clips:    `id = ?1 AND sent_with IS NULL`,

		homeworks: `id = ?1 AND 1 = 0`,
		typed:     `id = ?1 AND 1 = 0`,
	},
}

func (c cover) count(ctx context.Context, db queryer, id string) (r Removal, err error) {
	if err := db.QueryRowContext(ctx, `SELECT (SELECT count(*) FROM bullpens WHERE `+c.bullpens+`), (SELECT count(*) FROM reps WHERE `+c.reps+`)`, id).Scan(&r.Bullpens, &r.Reps); err != nil {
		return r, explain(err)
	}
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM field_entries WHERE undone = 0 AND `+noRep+` AND `+c.typed, id).Scan(&r.Typed); err != nil {
		return r, explain(err)
	}
	if r.FilmIDs, err = all(ctx, db, text, `SELECT id FROM films WHERE `+c.films, id); err != nil {
		return r, err
	}
	if r.ClipIDs, err = all(ctx, db, text, `SELECT id FROM clips WHERE `+c.clips, id); err != nil {
		return r, err
	}
	if r.HomeworkIDs, err = all(ctx, db, text, `SELECT id FROM homeworks WHERE `+c.homeworks, id); err != nil {
		return r, err
	}
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM slips WHERE homework_id IN (SELECT id FROM homeworks WHERE `+c.homeworks+`)`, id).Scan(&r.Slips); err != nil {
		return r, explain(err)
	}
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM shares WHERE bullpen_id IN (SELECT id FROM bullpens WHERE `+c.bullpens+`)`, id).Scan(&r.Shares); err != nil {
		return r, explain(err)
	}
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM clips WHERE sent_with IS NOT NULL AND (`+c.clips+`)`, id).Scan(&r.Copies); err != nil {
		return r, explain(err)
	}
	r.Films, r.Clips = len(r.FilmIDs), len(r.ClipIDs)-r.Copies
	r.Files, err = all(ctx, db, fileFrom, `SELECT key, CASE WHEN clip_id IN (SELECT id FROM clips WHERE sent_with IS NOT NULL) THEN 0 ELSE bytes END -- a copy takes no room beside its clip
		FROM files WHERE film_id IN (SELECT id FROM films WHERE `+c.films+`)
		OR clip_id IN (SELECT id FROM clips WHERE `+c.clips+`) ORDER BY key`, id)
	return r, err
}

// Would counts what removing a "pitcher", "bullpen", "film" or "clip" would take
// away.
func (s *Store) Would(ctx context.Context, what, id string) (Removal, error) {
	if _, known := covers[what]; !known {
		return Removal{}, notFound(what)
	}
	var n int
	if err := s.read.QueryRowContext(ctx, `SELECT count(*) FROM `+what+`s WHERE id = ? AND academy_id = ?`, id, s.own(ctx)).Scan(&n); err != nil {
		return Removal{}, explain(err)
	}
	if n == 0 {
		return Removal{}, notFound(what)
	}
	r, err := covers[what].count(ctx, s.read, id)
	return r, cmp.Or(err, r.onShelf(what))
}

// RemovePitcher removes a pitcher with all her bullpens. version 0 is whatever it
// is now. agree is told, within the transaction, what that takes away; nothing is
// removed when it fails. The files are the caller's to remove afterwards.
func (s *Store) RemovePitcher(ctx context.Context, id string, version int64, agree func(Removal) error) (Removal, error) {
	return s.remove(ctx, "pitcher", "pitchers", id, version, agree)
}

// RemoveBullpen removes a bullpen with its films, reps and clips, as RemovePitcher
// does a pitcher.
func (s *Store) RemoveBullpen(ctx context.Context, id string, version int64, agree func(Removal) error) (Removal, error) {
	return s.remove(ctx, "bullpen", "bullpens", id, version, agree)
}

// Whatever agrees to all that goes.
func Whatever(Removal) error { return nil }

// RemoveFilm removes a film; its reps stay with their readings and lose their
// marks, and their clips go.
func (s *Store) RemoveFilm(ctx context.Context, id string, version int64) (Removal, error) {
	return s.remove(ctx, "film", "films", id, version, Whatever)
}

// RemoveClip takes a clip off the shelf; what was sent of it stays.
func (s *Store) RemoveClip(ctx context.Context, id string) (Removal, error) {
	return s.remove(ctx, "clip", "clips", id, 0, func(r Removal) error { return r.onShelf("clip") })
}

// onShelf fails where a clip was asked for and the ID is a sent copy's, which goes with
// its answer only.
func (r Removal) onShelf(what string) error {
	if what == "clip" && len(r.ClipIDs) == 0 {
		return notFound(what)
	}
	return nil
}

func (s *Store) remove(ctx context.Context, what, table, id string, version int64, agree func(Removal) error) (r Removal, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		if err := tx.seen(what, table, id, version); err != nil {
			return err
		}
		if r, err = covers[what].count(ctx, tx.Tx, id); err != nil {
			return err
		}
		if err := agree(r); err != nil {
			return err
		}
		if what != "clip" { // which says no more than its film and its reps
			if err := s.owe(); err != nil {
				return err
			}
		}
		bullpens, err := all(ctx, tx.Tx, text, `SELECT id FROM bullpens WHERE `+covers[what].bullpens, id)
		if err != nil {
			return err
		}
		for _, subject := range slices.Concat(bullpens, r.FilmIDs, r.ClipIDs) {
			if err := tx.giveUp(subject); err != nil {
				return err
			}
		}
		for _, clip := range r.ClipIDs {
			var bullpenID string
			if err := tx.QueryRow(`DELETE FROM clips WHERE id = ? RETURNING bullpen_id`, clip).Scan(&bullpenID); err != nil {
				return err
			}
			if _, err := tx.touch(bullpenID); err != nil {
				return err
			}
		}
		switch what {
		case "clip":
			return nil
		case "film":
			return tx.unfilm(id)
		}
		for _, bullpenID := range bullpens {
			if err := tx.detach(bullpenID); err != nil {
				return err
			}
		}
		if what == "bullpen" {
			if err := tx.touchAfterIt(id); err != nil {
				return err
			}
		}
		if _, err = tx.Exec(`DELETE FROM `+table+` WHERE id = ?`, id); err != nil {
			return err
		}
		return tx.dropGone()
	})
	return r, err
}

// seen says whether the caller may remove a row having seen that version of it; 0
// is whatever it is now. A clip has no versions.
func (t *tx) seen(what, table, id string, version int64) error {
	column := "version"
	if what == "clip" {
		column = "0"
	}
	var now int64
	if err := t.QueryRow(`SELECT `+column+` FROM `+table+` WHERE id = ? AND academy_id = ?`, id, t.academy).Scan(&now); err != nil {
		return one(err, what)
	}
	if version != 0 && version != now {
		return stale(what)
	}
	return nil
}

// giveUp ends the jobs on a subject: at once, or soon for one that is running. What they
// say of it, by name, goes.
func (t *tx) giveUp(subject string) error {
	t.jobs, t.queue = true, true
	if _, err := t.Exec(`UPDATE jobs SET problem = '' WHERE subject = ? AND problem <> ''`, subject); err != nil {
		return err
	}
	_, err := t.Exec(`UPDATE jobs SET cancelling = CASE WHEN state = 'running' THEN 1 ELSE 0 END, state = CASE WHEN state = 'running' THEN state ELSE 'cancelled' END
		WHERE subject = ? AND state IN ('queued', 'running', 'failed')`, subject)
	return err
}

// dropGone forgets revisions of bullpens that the transaction removed.
func (t *tx) dropGone() error {
	for id := range t.changed {
		var n int
		if err := t.QueryRow(`SELECT count(*) FROM bullpens WHERE id = ?`, id).Scan(&n); err != nil {
			return err
		}
		if n == 0 {
			delete(t.changed, id)
		}
	}
	return nil
}

// unfilm removes a film: its reps lose their marks and keep their readings.
func (t *tx) unfilm(filmID string) error {
	var bullpenID string
	_, err := t.Exec(`UPDATE reps SET film_id = NULL, drive = -1, plant = -1, top = -1, "release" = -1, version = version + 1 WHERE film_id = ?`, filmID)
	if err != nil {
		return err
	}
	if err := t.QueryRow(`DELETE FROM films WHERE id = ? RETURNING bullpen_id`, filmID).Scan(&bullpenID); err != nil {
		return err
	}
	_, err = t.touch(bullpenID)
	return err
}

// PurgeReps removes for good, with their clips, the academy's reps that were taken out
// before the given time, and returns the files that have to go from the disk. Reps that
// an answer shows wait until it no longer does.
func (s *Store) PurgeReps(ctx context.Context, before time.Time) (loose []File, err error) {
	const old = `(SELECT id FROM reps WHERE deleted > 0 AND deleted < ?1 AND academy_id = ?2
		AND id NOT IN (SELECT rep_id FROM clips WHERE sent_with IS NOT NULL UNION ALL SELECT other_id FROM clips WHERE sent_with IS NOT NULL AND other_id IS NOT NULL))`
	const shown = `FROM clips WHERE rep_id IN ` + old + ` OR other_id IN ` + old
	err = s.tx(ctx, func(tx *tx) error {
		loose, err = all(ctx, tx, fileFrom, `SELECT key, bytes FROM files WHERE clip_id IN (SELECT id `+shown+`) ORDER BY key`, before.UnixMicro(), tx.academy)
		if err != nil {
			return err
		}
		if err := tx.touchAll(`SELECT DISTINCT bullpen_id `+shown, before.UnixMicro(), tx.academy); err != nil {
			return err
		}
		// What was typed for one is not gone with it.
		if _, err := tx.Exec(`UPDATE field_entries SET rep_id = NULL WHERE rep_id IN `+old, before.UnixMicro(), tx.academy); err != nil {
			return err
		}
		res, err := tx.Exec(`DELETE FROM reps WHERE id IN `+old, before.UnixMicro(), tx.academy)
		if err != nil {
			return err
		}
		if n, err := res.RowsAffected(); err != nil || n == 0 {
			return err
		}
		return s.owe()
	})
	return loose, err
}
