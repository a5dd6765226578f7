package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// TakeTurn takes the turn of a name for a holder, for as long as lease and by the clock that
// all programs have in common, if nobody has it. If somebody has, they are asked to let go,
// with why they are; the first who asks is heard.
func (s *Store) TakeTurn(ctx context.Context, name, holder, why string, lease time.Duration) (got bool, err error) {
	err = s.inTurn(ctx, "turns", func(tx *tx) error {
		var until int64
		err := tx.QueryRow(`SELECT until FROM turns WHERE name = ?`, name).Scan(&until)
		switch {
		case errors.Is(err, sql.ErrNoRows), err == nil && until < tx.now:
			got = true
			_, err = tx.Exec(`INSERT INTO turns (name, academy_id, holder, until, asked) VALUES (?, ?, ?, ?, '')
				ON CONFLICT (name) DO UPDATE SET holder = excluded.holder, until = excluded.until, asked = ''`,
				name, tx.academy, holder, tx.now+lease.Microseconds())
		case err == nil:
			_, err = tx.Exec(`UPDATE turns SET asked = ? WHERE name = ? AND asked = ''`, why, name)
		}
		return err
	})
	return got && err == nil, err
}

// KeepTurn keeps a turn for as long as lease from now. asked says why somebody wants it, ""
// while nobody does; ours is false when it is another's, or nobody's, by now.
func (s *Store) KeepTurn(ctx context.Context, name, holder string, lease time.Duration) (asked string, ours bool, err error) {
	err = s.inTurn(ctx, "turns", func(tx *tx) error {
		err := tx.QueryRow(`UPDATE turns SET until = ? WHERE name = ? AND holder = ? RETURNING asked`, tx.now+lease.Microseconds(), name, holder).Scan(&asked)
		if errors.Is(err, sql.ErrNoRows) {
			return nil
		}
		ours = err == nil
		return err
	})
	return asked, ours && err == nil, err
}

// EndTurn gives a turn back, if it is still the holder's.
func (s *Store) EndTurn(ctx context.Context, name, holder string) error {
	return s.inTurn(ctx, "turns", func(tx *tx) error {
		_, err := tx.Exec(`DELETE FROM turns WHERE name = ? AND holder = ?`, name, holder)
		return err
	})
}
