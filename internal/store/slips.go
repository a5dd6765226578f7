package store

import (
	"context"
	"time"

	"tenoff/internal/bullpen"
)

const slipFields = linkFields + `, l.homework_id, l.max_bytes, l.max_files`

func slipFrom(row scanner, more ...any) (p bullpen.Slip, err error) {
	return p, row.Scan(append(append(linkInto(&p.Link), &p.HomeworkID, &p.MaxBytes, &p.MaxFiles), more...)...)
}

func onlySlip(row scanner) (bullpen.Slip, error) { return slipFrom(row) }

// Slips lists a homework's slips, latest first.
func (s *Store) Slips(ctx context.Context, homeworkID string) ([]bullpen.Slip, error) {
	return all(ctx, s.read, onlySlip, `SELECT `+slipFields+` FROM slips l WHERE l.homework_id = ? AND l.academy_id = ? ORDER BY l.created DESC, l.id DESC`, homeworkID, s.own(ctx))
}

// Slip returns one slip.
func (s *Store) Slip(ctx context.Context, id string) (bullpen.Slip, error) {
	p, err := onlySlip(s.read.QueryRowContext(ctx, `SELECT `+slipFields+` FROM slips l WHERE l.id = ? AND l.academy_id = ?`, id, s.own(ctx)))
	return p, one(err, "slip")
}

// AddSlip makes a slip for a homework that lasts so long from now, and returns it
// with its token, which is kept nowhere. The homework's other slips are closed.
// Without a guardian's consent it is refused with Invalid.
func (s *Store) AddSlip(ctx context.Context, p bullpen.Slip, lasts time.Duration) (_ bullpen.Slip, token string, err error) {
	token, hash := secret()
	err = s.tx(ctx, func(tx *tx) error {
		if err := tx.mayHandOut(p.HomeworkID); err != nil {
			return err
		}
		if _, err := tx.closeLinks(slipLinks, `homework_id = ?`, p.HomeworkID); err != nil {
			return err
		}
		p.Link = tx.newLink(lasts)
		_, err := tx.Exec(`INSERT INTO slips (id, academy_id, homework_id, token, created, expires, closed, last_used, max_bytes, max_files)
			VALUES (?, ?, ?, ?, ?, ?, 0, 0, ?, ?)`, p.ID, tx.academy, p.HomeworkID, hash, p.Created, p.Expires, p.MaxBytes, p.MaxFiles)
		return err
	})
	return p, token, err
}

// mayHandOut refuses a homework of a pitcher whose guardian has not said yes.
func (t *tx) mayHandOut(homeworkID string) error {
	var pitcherID string
	if err := t.QueryRow(`SELECT pitcher_id FROM homeworks WHERE id = ? AND academy_id = ?`, homeworkID, t.academy).Scan(&pitcherID); err != nil {
		return one(err, "homework")
	}
	return t.mustConsent(pitcherID, bullpen.ForHomework)
}

// RenewSlip makes a slip last so long from now or longer, if nobody closed it: one that was
// closed because a backup was brought back opens again.
func (s *Store) RenewSlip(ctx context.Context, id string, lasts time.Duration) (p bullpen.Slip, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		p, err = onlySlip(tx.QueryRow(`SELECT `+slipFields+` FROM slips l WHERE l.id = ? AND l.academy_id = ?`, id, tx.academy))
		if err != nil {
			return one(err, "slip")
		}
		if err := slipLinks.renewable(p.Link); err != nil {
			return err
		}
		if err := tx.mayHandOut(p.HomeworkID); err != nil {
			return err
		}
		return tx.renewLink(slipLinks, &p.Link, lasts)
	})
	return p, err
}

// RevokeSlip closes a slip for good.
func (s *Store) RevokeSlip(ctx context.Context, id string) (bullpen.Slip, error) {
	if err := s.revokeLink(ctx, slipLinks, id); err != nil {
		return bullpen.Slip{}, err
	}
	return s.Slip(ctx, id)
}

// OpenSlip returns the open slip with that token and whose it is; any other is
// NotFound.
func (s *Store) OpenSlip(ctx context.Context, token string) (p bullpen.Slip, academy string, err error) {
	return s.openSlip(ctx, `l.token = ?`, digest(token))
}

// OpenSlipByID returns a slip that is open, by its ID.
func (s *Store) OpenSlipByID(ctx context.Context, id string) (p bullpen.Slip, academy string, err error) {
	return s.openSlip(ctx, `l.id = ?`, id)
}

func (s *Store) openSlip(ctx context.Context, which string, arg any) (p bullpen.Slip, academy string, err error) {
	p, err = slipFrom(s.read.QueryRowContext(ctx, `SELECT `+slipFields+`, l.academy_id FROM slips l WHERE `+which, arg), &academy)
	if err := s.opened(p.Link, err); err != nil {
		return bullpen.Slip{}, "", err
	}
	return p, academy, nil
}

// UseSlip notes that a slip's page was looked at.
func (s *Store) UseSlip(ctx context.Context, id string) error {
	return s.useLink(ctx, slipLinks, id)
}
