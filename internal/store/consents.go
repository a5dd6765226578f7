package store

import (
	"context"

	"tenoff/internal/bullpen"
)

func consentFrom(row scanner) (c bullpen.Consent, err error) {
	return c, row.Scan(&c.ID, &c.PitcherID, &c.Created, &c.Guardian, &c.Given, &c.Covers, &c.Withdrawn)
}

// Consents lists what was recorded for a pitcher, latest first.
func (s *Store) Consents(ctx context.Context, pitcherID string) ([]bullpen.Consent, error) {
	if _, err := s.Pitcher(ctx, pitcherID); err != nil {
		return nil, err
	}
	return all(ctx, s.read, consentFrom, `SELECT id, pitcher_id, created, guardian, given, covers, withdrawn FROM consents
		WHERE pitcher_id = ? AND academy_id = ? ORDER BY created DESC, id DESC`, pitcherID, s.own(ctx))
}

// Consented reports whether a consent stands for a pitcher.
func (s *Store) Consented(ctx context.Context, pitcherID string) (bool, error) {
	return consented(ctx, s.read, pitcherID)
}

func (t *tx) consented(pitcherID string) (bool, error) { return consented(t.ctx, t.Tx, pitcherID) }

func consented(ctx context.Context, db queryer, pitcherID string) (standing bool, err error) {
	err = db.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM consents WHERE pitcher_id = ? AND withdrawn = 0)`, pitcherID).Scan(&standing)
	return standing, explain(err)
}

// AddConsent records a guardian's consent.
func (s *Store) AddConsent(ctx context.Context, c bullpen.Consent) (bullpen.Consent, error) {
	c.ID = newID()
	err := s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "pitcher", "pitchers", c.PitcherID); err != nil {
			return err
		}
		c.Created = tx.now
		_, err := tx.Exec(`INSERT INTO consents (id, academy_id, pitcher_id, created, guardian, given, covers, withdrawn) VALUES (?, ?, ?, ?, ?, ?, ?, 0)`,
			c.ID, tx.academy, c.PitcherID, tx.now, c.Guardian, c.Given, c.Covers)
		return err
	})
	return c, err
}

// WithdrawConsent withdraws a consent. If none stands any more, every link of the
// pitcher is closed, slips and shares, and no other student sees an example of her;
// closed is how many links were open.
func (s *Store) WithdrawConsent(ctx context.Context, id string) (pitcherID string, closed int, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		err := tx.QueryRow(`UPDATE consents SET withdrawn = CASE WHEN withdrawn = 0 THEN ? ELSE withdrawn END WHERE id = ? AND academy_id = ? RETURNING pitcher_id`,
			tx.now, id, tx.academy).Scan(&pitcherID)
		if err != nil {
			return one(err, "consent")
		}
		if standing, err := tx.consented(pitcherID); err != nil || standing {
			return err
		}
		_, err = tx.Exec(`UPDATE drills SET clip_id = NULL, version = version + 1 WHERE clip_id IN
			(SELECT c.id FROM clips c JOIN reps r ON r.id IN (c.rep_id, c.other_id) WHERE r.pitcher_id = ?)`, pitcherID)
		if err != nil {
			return err
		}
		slips, err := tx.closeLinks(slipLinks, `homework_id IN (SELECT id FROM homeworks WHERE pitcher_id = ?)`, pitcherID)
		if err != nil {
			return err
		}
		shares, err := tx.closeLinks(shareLinks, `bullpen_id IN (SELECT id FROM bullpens WHERE pitcher_id = ?)`, pitcherID)
		closed = slips + shares
		return err
	})
	return pitcherID, closed, err
}
