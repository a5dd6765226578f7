package store

import (
	"context"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
)

func consentFrom(row scanner) (c bullpen.Consent, err error) {
	to := make([]bool, len(bullpen.Purposes))
	var wording string
	err = row.Scan(&c.ID, &c.PitcherID, &c.Created, &c.Guardian, &c.Given, &c.Covers, &c.Withdrawn, &c.GivenTo, &wording, &to[0], &to[1], &to[2])
	if wording != "" {
		c.Asked = strings.Split(wording, "\n")
	}
	for i, p := range bullpen.Purposes {
		if to[i] {
			c.For = append(c.For, p)
		}
	}
	return c, err
}

// consentedTo are the columns of what a consent is for, in which words, and by
// bullpen.Purposes.
const consentedTo = `wording, for_homework, for_results, for_examples`

// Consents lists what was recorded for a pitcher, latest first.
func (s *Store) Consents(ctx context.Context, pitcherID string) ([]bullpen.Consent, error) {
	if _, err := s.Pitcher(ctx, pitcherID); err != nil {
		return nil, err
	}
	return all(ctx, s.read, consentFrom, `SELECT id, pitcher_id, created, guardian, given, covers, withdrawn, given_to, `+consentedTo+` FROM consents
		WHERE pitcher_id = ? AND academy_id = ? ORDER BY created DESC, id DESC`, pitcherID, s.own(ctx))
}

// Consented reports whether a pitcher's guardian says yes to something.
func (s *Store) Consented(ctx context.Context, pitcherID string, to bullpen.Purpose) (bool, error) {
	return consented(ctx, s.read, pitcherID, to)
}

func (t *tx) consented(pitcherID string, to bullpen.Purpose) (bool, error) {
	return consented(t.ctx, t.Tx, pitcherID, to)
}

func consented(ctx context.Context, db queryer, pitcherID string, to bullpen.Purpose) (bool, error) {
	standing, err := all(ctx, db, consentFrom, `SELECT id, pitcher_id, created, guardian, given, covers, withdrawn, given_to, `+consentedTo+` FROM consents
		WHERE pitcher_id = ? AND withdrawn = 0`, pitcherID)
	return slices.Contains(bullpen.Standing(standing), to), err
}

// AddConsent records a guardian's consent, with the words that are asked in today.
func (s *Store) AddConsent(ctx context.Context, c bullpen.Consent) (bullpen.Consent, error) {
	c.ID = newID()
	err := s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "pitcher", "pitchers", c.PitcherID); err != nil {
			return err
		}
		c.Created, c.Asked = tx.now, nil
		var to []any
		for _, p := range bullpen.Purposes {
			yes := slices.Contains(c.For, p)
			if to = append(to, yes); yes {
				c.Asked = append(c.Asked, p.Asks())
			}
		}
		_, err := tx.Exec(`INSERT INTO consents (id, academy_id, pitcher_id, created, guardian, given, covers, withdrawn, `+consentedTo+`) VALUES (?, ?, ?, ?, ?, ?, ?, 0, ?, ?, ?, ?)`,
			append([]any{c.ID, tx.academy, c.PitcherID, tx.now, c.Guardian, c.Given, c.Covers, strings.Join(c.Asked, "\n")}, to...)...)
		return err
	})
	return c, err
}

// WithdrawConsent withdraws a consent. What no other one says yes to ends with it: the
// pitcher's slips, the links to her results, and her clips as examples that other students
// see. closed is how many links were open.
func (s *Store) WithdrawConsent(ctx context.Context, id string) (pitcherID string, closed int, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		err := tx.QueryRow(`UPDATE consents SET withdrawn = CASE WHEN withdrawn = 0 THEN ? ELSE withdrawn END WHERE id = ? AND academy_id = ? RETURNING pitcher_id`,
			tx.now, id, tx.academy).Scan(&pitcherID)
		if err != nil {
			return one(err, "consent")
		}
		closed, err = tx.endUnconsented(pitcherID)
		return err
	})
	return pitcherID, closed, err
}

// endUnconsented ends what no consent of a pitcher stands for, and counts the links that
// were open.
func (t *tx) endUnconsented(pitcherID string) (closed int, err error) {
	for _, p := range bullpen.Purposes {
		standing, err := t.consented(pitcherID, p)
		if err != nil {
			return 0, err
		}
		if standing {
			continue
		}
		var n int
		switch p {
		case bullpen.ForHomework:
			n, err = t.closeLinks(slipLinks, `homework_id IN (SELECT id FROM homeworks WHERE pitcher_id = ?)`, pitcherID)
		case bullpen.ForResults:
			n, err = t.closeLinks(shareLinks, `bullpen_id IN (SELECT id FROM bullpens WHERE pitcher_id = ?)`, pitcherID)
		case bullpen.ForExamples:
			_, err = t.Exec(`UPDATE drills SET clip_id = NULL, version = version + 1 WHERE clip_id IN
				(SELECT c.id FROM clips c JOIN reps r ON r.id IN (c.rep_id, c.other_id) WHERE r.pitcher_id = ?)`, pitcherID)
		}
		if err != nil {
			return 0, err
		}
		closed += n
	}
	return closed, nil
}
