package store

import (
	"context"
)

// Removal is what a deletion takes away, or would.
type Removal struct {
	Bullpens, Films, Reps, Clips int
	FilmIDs, ClipIDs             []string // whose files have to go too
}

// What a removal of one pitcher, bullpen or film covers, as conditions on its
// bullpens, films, reps and clips.
type cover struct{ bullpens, films, reps, clips string }

var covers = map[string]cover{
	"pitcher": {
		bullpens: `pitcher_id = ?1`,
		films:    `bullpen_id IN (SELECT id FROM bullpens WHERE pitcher_id = ?1)`,
		reps:     `pitcher_id = ?1 AND deleted = 0`,
		clips:    `bullpen_id IN (SELECT id FROM bullpens WHERE pitcher_id = ?1) OR other_id IN (SELECT id FROM reps WHERE pitcher_id = ?1)`,
	},
	"bullpen": {
		bullpens: `id = ?1`,
		films:    `bullpen_id = ?1`,
		reps:     `bullpen_id = ?1 AND deleted = 0`,
		clips:    `bullpen_id = ?1 OR other_id IN (SELECT id FROM reps WHERE bullpen_id = ?1)`,
	},
	"film": {
		bullpens: `id = ?1 AND 0`,
		films:    `id = ?1`,
		reps:     `id = ?1 AND 0`,
		clips:    `rep_id IN (SELECT id FROM reps WHERE film_id = ?1) OR other_id IN (SELECT id FROM reps WHERE film_id = ?1)`,
	},
}

func (c cover) count(ctx context.Context, db queryer, id string) (r Removal, err error) {
	if err := db.QueryRowContext(ctx, `SELECT (SELECT count(*) FROM bullpens WHERE `+c.bullpens+`), (SELECT count(*) FROM reps WHERE `+c.reps+`)`, id).Scan(&r.Bullpens, &r.Reps); err != nil {
		return r, explain(err)
	}
	text := func(row scanner) (id string, err error) { return id, row.Scan(&id) }
	if r.FilmIDs, err = all(ctx, db, text, `SELECT id FROM films WHERE `+c.films, id); err != nil {
		return r, err
	}
	r.ClipIDs, err = all(ctx, db, text, `SELECT id FROM clips WHERE `+c.clips, id)
	r.Films, r.Clips = len(r.FilmIDs), len(r.ClipIDs)
	return r, err
}

// Would counts what removing a "pitcher", "bullpen" or "film" would take away.
func (s *Store) Would(ctx context.Context, what, id string) (Removal, error) {
	return covers[what].count(ctx, s.read, id)
}

// RemovePitcher removes a pitcher with all her bullpens. version 0 is whatever it
// is now. The files are the caller's to remove afterwards.
func (s *Store) RemovePitcher(ctx context.Context, id string, version int64) (Removal, error) {
	return s.remove(ctx, "pitcher", "pitchers", id, version)
}

// RemoveBullpen removes a bullpen with its films, reps and clips.
func (s *Store) RemoveBullpen(ctx context.Context, id string, version int64) (Removal, error) {
	return s.remove(ctx, "bullpen", "bullpens", id, version)
}

// RemoveFilm removes a film; its reps stay with their readings and lose their
// marks, and their clips go.
func (s *Store) RemoveFilm(ctx context.Context, id string, version int64) (Removal, error) {
	return s.remove(ctx, "film", "films", id, version)
}

func (s *Store) remove(ctx context.Context, what, table, id string, version int64) (r Removal, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		var now int64
		if err := tx.QueryRow(`SELECT version FROM `+table+` WHERE id = ? AND academy_id = ?`, id, s.academy).Scan(&now); err != nil {
			return one(err, what)
		}
		if version != 0 && version != now {
			return stale(what)
		}
		if r, err = covers[what].count(ctx, tx.Tx, id); err != nil {
			return err
		}
		for _, subject := range append(append([]string{}, r.FilmIDs...), r.ClipIDs...) {
			tx.jobs = true
			if _, err := tx.Exec(`UPDATE jobs SET cancelling = (state = 'running'), state = CASE WHEN state = 'running' THEN state ELSE 'cancelled' END
				WHERE subject = ? AND state IN ('queued', 'running', 'failed')`, subject); err != nil {
				return err
			}
		}
		for _, clip := range r.ClipIDs {
			if _, err := tx.Exec(`DELETE FROM clips WHERE id = ?`, clip); err != nil {
				return err
			}
		}
		if what == "film" {
			if err := tx.unfilm(id); err != nil {
				return err
			}
		}
		_, err := tx.Exec(`DELETE FROM `+table+` WHERE id = ?`, id)
		return err
	})
	return r, err
}

// unfilm takes the marks off a film's reps and tells the bullpen.
func (t *tx) unfilm(filmID string) error {
	if err := t.touchAll(`SELECT bullpen_id FROM films WHERE id = ?`, filmID); err != nil {
		return err
	}
	_, err := t.Exec(`UPDATE reps SET film_id = NULL, drive = -1, plant = -1, top = -1, "release" = -1, version = version + 1 WHERE film_id = ?`, filmID)
	return err
}

// FileOwners returns the IDs of all films and of all clips: whose files may be
// there.
func (s *Store) FileOwners(ctx context.Context) (films, clips []string, err error) {
	text := func(row scanner) (id string, err error) { return id, row.Scan(&id) }
	if films, err = all(ctx, s.read, text, `SELECT id FROM films ORDER BY id`); err != nil {
		return nil, nil, err
	}
	clips, err = all(ctx, s.read, text, `SELECT id FROM clips ORDER BY id`)
	return films, clips, err
}
