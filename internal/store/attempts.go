package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Attempts are what is left of a number of attempts, which come back with time.
type Attempts struct {
	Left  float64
	At    time.Time // when so many were left; zero for nobody who is known
	Known bool      // something right came from there
}

// Try changes what is left to one address at a door, and to all addresses together: for all
// programs on the database at once, who take turns at a door, and by the clock that they
// have in common. What change returns is what is kept, unless it fails or says that
// nothing is to be. An address of which nobody is known is forgotten after full, which is how
// long it takes until all attempts are left; one that is known after forget.
func (s *Store) Try(ctx context.Context, door, whose string, full, forget time.Duration, change func(now time.Time, one, all *Attempts) (keep bool, err error)) error {
	return s.inTurn(ctx, "the door "+door, func(tx *tx) error {
		if _, err := tx.Exec(`DELETE FROM attempts WHERE door = ? AND whose <> ? AND (at < ? OR known = 0 AND at < ?)`,
			door, digest(""), tx.now-forget.Microseconds(), tx.now-full.Microseconds()); err != nil {
			return err
		}
		one, err := tx.attempts(door, whose)
		if err != nil {
			return err
		}
		all, err := tx.attempts(door, "")
		if err != nil {
			return err
		}
		if keep, err := change(time.UnixMicro(tx.now), &one, &all); err != nil || !keep {
			return err
		}
		if err := tx.keepAttempts(door, whose, one); err != nil {
			return err
		}
		return tx.keepAttempts(door, "", all)
	})
}

func (t *tx) attempts(door, whose string) (a Attempts, err error) {
	var at int64
	err = t.QueryRow(`SELECT remaining, at, known FROM attempts WHERE door = ? AND whose = ?`, door, digest(whose)).Scan(&a.Left, &at, &a.Known)
	if errors.Is(err, sql.ErrNoRows) {
		return Attempts{}, nil
	}
	a.At = time.UnixMicro(at)
	return a, err
}

func (t *tx) keepAttempts(door, whose string, a Attempts) error {
	_, err := t.Exec(`INSERT INTO attempts (door, whose, remaining, at, known) VALUES (?, ?, ?, ?, ?)
		ON CONFLICT (door, whose) DO UPDATE SET remaining = excluded.remaining, at = excluded.at, known = excluded.known`,
		door, digest(whose), a.Left, t.now, a.Known)
	return err
}
