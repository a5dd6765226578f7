package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"strings"
	"time"

	"tenoff/internal/bullpen"
)

const slipFields = `s.id, s.homework_id, s.created, s.expires, s.closed, s.restored, s.last_used, s.max_bytes, s.max_files`

func slipFrom(row scanner, more ...any) (p bullpen.Slip, err error) {
	return p, row.Scan(append([]any{&p.ID, &p.HomeworkID, &p.Created, &p.Expires, &p.Closed, &p.Restored, &p.LastUsed, &p.MaxBytes, &p.MaxFiles}, more...)...)
}

func onlySlip(row scanner) (bullpen.Slip, error) { return slipFrom(row) }

// secret returns a new random token of 130 bits and what is stored of it.
func secret() (token string, hash []byte) {
	token = strings.ToLower(rand.Text())
	return token, digest(token)
}

// digest is what is stored of a token. A token has too many bits to be guessed from
// its hash, so it needs no salt and no slowness.
func digest(token string) []byte {
	sum := sha256.Sum256([]byte(token))
	return sum[:]
}

// Slips lists a homework's slips, latest first.
func (s *Store) Slips(ctx context.Context, homeworkID string) ([]bullpen.Slip, error) {
	return all(ctx, s.read, onlySlip, `SELECT `+slipFields+` FROM slips s WHERE s.homework_id = ? AND s.academy_id = ? ORDER BY s.created DESC, s.id DESC`, homeworkID, s.own(ctx))
}

// Slip returns one slip.
func (s *Store) Slip(ctx context.Context, id string) (bullpen.Slip, error) {
	p, err := onlySlip(s.read.QueryRowContext(ctx, `SELECT `+slipFields+` FROM slips s WHERE s.id = ? AND s.academy_id = ?`, id, s.own(ctx)))
	return p, one(err, "slip")
}

// AddSlip makes a slip for a homework that lasts so long from now, and returns it
// with its token, which is kept nowhere. The homework's other slips are closed.
// Without a guardian's consent it is refused with Invalid.
func (s *Store) AddSlip(ctx context.Context, p bullpen.Slip, lasts time.Duration) (_ bullpen.Slip, token string, err error) {
	p.ID = newID()
	token, hash := secret()
	err = s.tx(ctx, func(tx *tx) error {
		if err := tx.mayShare(p.HomeworkID); err != nil {
			return err
		}
		if _, err := tx.closeSlips(`homework_id = ?`, p.HomeworkID); err != nil {
			return err
		}
		p.Created, p.Expires = tx.now, tx.now+lasts.Microseconds()
		_, err := tx.Exec(`INSERT INTO slips (id, academy_id, homework_id, token, created, expires, closed, last_used, max_bytes, max_files)
			VALUES (?, ?, ?, ?, ?, ?, 0, 0, ?, ?)`, p.ID, tx.academy, p.HomeworkID, hash, p.Created, p.Expires, p.MaxBytes, p.MaxFiles)
		return err
	})
	return p, token, err
}

// mayShare refuses a homework of a pitcher whose guardian has not said yes.
func (t *tx) mayShare(homeworkID string) error {
	var pitcherID string
	if err := t.QueryRow(`SELECT pitcher_id FROM homeworks WHERE id = ? AND academy_id = ?`, homeworkID, t.academy).Scan(&pitcherID); err != nil {
		return one(err, "homework")
	}
	standing, err := t.consented(pitcherID)
	if err == nil && !standing {
		err = bullpen.Errorf(bullpen.Invalid, "Record a guardian's consent first: who said yes, when, and what for.")
	}
	return err
}

// RenewSlip makes a slip last so long from now, if nobody closed it: one that was
// closed because a backup was brought back opens again.
func (s *Store) RenewSlip(ctx context.Context, id string, lasts time.Duration) (p bullpen.Slip, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		p, err = onlySlip(tx.QueryRow(`SELECT `+slipFields+` FROM slips s WHERE s.id = ? AND s.academy_id = ?`, id, tx.academy))
		if err != nil {
			return one(err, "slip")
		}
		if p.Closed != 0 && !p.Restored {
			return bullpen.Errorf(bullpen.Conflict, "This slip was revoked and stays closed; make a new one.")
		}
		if err := tx.mayShare(p.HomeworkID); err != nil {
			return err
		}
		p.Expires, p.Closed, p.Restored = tx.now+lasts.Microseconds(), 0, false
		_, err = tx.Exec(`UPDATE slips SET expires = ?, closed = 0, restored = 0 WHERE id = ?`, p.Expires, id)
		return err
	})
	return p, err
}

// RevokeSlip closes a slip for good.
func (s *Store) RevokeSlip(ctx context.Context, id string) (bullpen.Slip, error) {
	err := s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "slip", "slips", id); err != nil {
			return err
		}
		_, err := tx.closeSlips(`id = ?`, id)
		return err
	})
	if err != nil {
		return bullpen.Slip{}, err
	}
	return s.Slip(ctx, id)
}

// closeSlips closes the slips that match for good and counts those that were open.
func (t *tx) closeSlips(which string, args ...any) (open int, err error) {
	if err := t.QueryRow(`SELECT count(*) FROM slips WHERE closed = 0 AND expires > ? AND `+which, append([]any{t.now}, args...)...).Scan(&open); err != nil {
		return 0, err
	}
	_, err = t.Exec(`UPDATE slips SET closed = iif(closed = 0, ?, closed), restored = 0 WHERE (closed = 0 OR restored = 1) AND `+which, append([]any{t.now}, args...)...)
	return open, err
}

// errNoSlip is what everybody hears whose token opens nothing: whether it was never
// one, has expired or was closed is not said.
var errNoSlip = bullpen.Errorf(bullpen.NotFound, "This link opens nothing. Ask your instructor for a new one.")

// OpenSlip returns the open slip with that token and whose it is; any other is
// NotFound.
func (s *Store) OpenSlip(ctx context.Context, token string) (p bullpen.Slip, academy string, err error) {
	return s.openSlip(ctx, `s.token = ?`, digest(token))
}

// OpenSlipByID returns a slip that is open, by its ID.
func (s *Store) OpenSlipByID(ctx context.Context, id string) (p bullpen.Slip, academy string, err error) {
	return s.openSlip(ctx, `s.id = ?`, id)
}

func (s *Store) openSlip(ctx context.Context, which string, arg any) (p bullpen.Slip, academy string, err error) {
	p, err = slipFrom(s.read.QueryRowContext(ctx, `SELECT `+slipFields+`, s.academy_id FROM slips s WHERE `+which, arg), &academy)
	if err = one(err, "slip"); bullpen.CodeOf(err) == bullpen.NotFound || err == nil && !p.Open(s.now().UnixMicro()) {
		return bullpen.Slip{}, "", errNoSlip
	}
	return p, academy, err
}

// UseSlip notes that a slip's page was looked at.
func (s *Store) UseSlip(ctx context.Context, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		_, err := tx.Exec(`UPDATE slips SET last_used = ? WHERE id = ?`, tx.now, id)
		return err
	})
}
