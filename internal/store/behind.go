package store

import (
	"context"
	"database/sql"
	"errors"
)

// leaveBehind notes that the pitchers of a level are judged otherwise from now on, while
// the revisions of their bullpens have not risen yet: in a big academy those are many
// thousand rows, and nobody has to wait for them. What is judged goes by the level as it is,
// and what is stored of a pitcher who is behind is not believed.
func (t *tx) leaveBehind(level string) error {
	_, err := t.Exec(`UPDATE pitchers SET behind = 1 WHERE academy_id = ? AND level = ?`, t.academy, level)
	t.behind = true
	return err
}

const behindQuery = `SELECT id FROM pitchers INDEXED BY pitchers_behind WHERE behind <> 0 AND academy_id = ? LIMIT 1`

// Behind reports whether revisions of some of the academy's bullpens are still to rise.
func (s *Store) Behind(ctx context.Context) (bool, error) {
	ids, err := all(ctx, s.read, text, behindQuery, s.own(ctx))
	return len(ids) > 0, err
}

// CatchUp raises the revisions that are still to rise, pitcher by pitcher, so that others
// who write can do so in between.
func (s *Store) CatchUp(ctx context.Context) error {
	for {
		if more, err := s.Behind(ctx); err != nil || !more {
			return err
		}
		err := s.tx(ctx, func(tx *tx) error {
			var id string
			err := tx.QueryRow(behindQuery, tx.academy).Scan(&id)
			if errors.Is(err, sql.ErrNoRows) {
				return nil // somebody else has just done it
			}
			if err != nil {
				return err
			}
			if _, err := tx.Exec(`UPDATE pitchers SET behind = 0 WHERE id = ?`, id); err != nil {
				return err
			}
			return tx.touchAll(`SELECT id FROM bullpens INDEXED BY bullpens_by_pitcher WHERE pitcher_id = ?`, id)
		})
		if err != nil {
			return err
		}
	}
}
