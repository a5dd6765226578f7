package store

import (
	"context"
	"strings"
	"time"

	"tenoff/internal/bullpen"
)

// A clip is shown only as long as it is on the shelf, its reps are logged and it shows
// nobody but the pitcher whose bullpen it is: reps may have gone to another since.
const shareFields = linkFields + `, l.bullpen_id, (SELECT coalesce(string_agg(k.clip_id, ' ' ORDER BY k.place), '') FROM shared_clips k JOIN clips c ON c.id = k.clip_id
	WHERE k.share_id = l.id AND c.bullpen_id = l.bullpen_id AND c.sent_with IS NULL AND NOT EXISTS (SELECT 1 FROM reps r JOIN bullpens b ON b.id = l.bullpen_id
		WHERE r.id IN (c.rep_id, c.other_id) AND (r.deleted <> 0 OR r.pitcher_id <> b.pitcher_id)))`

func shareFrom(row scanner, more ...any) (p bullpen.ShareLink, err error) {
	var clips string
	if err := row.Scan(append(append(linkInto(&p.Link), &p.BullpenID, &clips), more...)...); err != nil {
		return p, err
	}
	p.ClipIDs = append([]string{}, strings.Fields(clips)...)
	return p, nil
}

func onlyShare(row scanner) (bullpen.ShareLink, error) { return shareFrom(row) }

// Shares lists the links to a bullpen's result, latest first.
func (s *Store) Shares(ctx context.Context, bullpenID string) ([]bullpen.ShareLink, error) {
	return all(ctx, s.read, onlyShare, `SELECT `+shareFields+` FROM shares l WHERE l.bullpen_id = ? AND l.academy_id = ? ORDER BY l.created DESC, l.id DESC`, bullpenID, s.own(ctx))
}

// Share returns one of them.
func (s *Store) Share(ctx context.Context, id string) (bullpen.ShareLink, error) {
	p, err := onlyShare(s.read.QueryRowContext(ctx, `SELECT `+shareFields+` FROM shares l WHERE l.id = ? AND l.academy_id = ?`, id, s.own(ctx)))
	return p, one(err, "link")
}

// AddShare makes a link to a bullpen's result that lasts so long from now, and returns it
// with its token, which is kept nowhere. The bullpen's other links are closed. Without a
// guardian's consent it is refused with Invalid, and so is a clip that shows anybody else
// or is not on this bullpen's shelf.
func (s *Store) AddShare(ctx context.Context, p bullpen.ShareLink, lasts time.Duration) (_ bullpen.ShareLink, token string, err error) {
	token, hash := secret()
	err = s.tx(ctx, func(tx *tx) error {
		if err := tx.mayShow(p.BullpenID); err != nil {
			return err
		}
		if _, err := tx.closeLinks(shareLinks, `bullpen_id = ?`, p.BullpenID); err != nil {
			return err
		}
		p.Link = tx.newLink(lasts)
		_, err := tx.Exec(`INSERT INTO shares (id, academy_id, bullpen_id, token, created, expires, closed, restored, last_used)
			VALUES (?, ?, ?, ?, ?, ?, 0, 0, 0)`, p.ID, tx.academy, p.BullpenID, hash, p.Created, p.Expires)
		if err != nil {
			return err
		}
		for place, clip := range p.ClipIDs {
			if _, err := tx.Exec(`INSERT INTO shared_clips (share_id, clip_id, academy_id, place)
				SELECT ?, id, academy_id, ? FROM clips WHERE id = ? AND academy_id = ? ON CONFLICT DO NOTHING`, p.ID, place, clip, tx.academy); err != nil {
				return err
			}
		}
		asked := len(p.ClipIDs)
		if p, err = onlyShare(tx.QueryRow(`SELECT `+shareFields+` FROM shares l WHERE l.id = ?`, p.ID)); err != nil {
			return err
		}
		if len(p.ClipIDs) != asked {
			return bullpen.Errorf(bullpen.Invalid, "One of these clips is not on this bullpen's shelf, was chosen twice, or shows another pitcher; load the page again and choose anew.")
		}
		return nil
	})
	return p, token, err
}

// mayShow refuses a bullpen of a pitcher whose guardian has not said yes.
func (t *tx) mayShow(bullpenID string) error {
	var pitcherID string
	if err := t.QueryRow(`SELECT pitcher_id FROM bullpens WHERE id = ? AND academy_id = ?`, bullpenID, t.academy).Scan(&pitcherID); err != nil {
		return one(err, "bullpen")
	}
	return t.mustConsent(pitcherID, bullpen.ForResults)
}

// RenewShare makes a link last so long from now, as RenewSlip does a slip.
func (s *Store) RenewShare(ctx context.Context, id string, lasts time.Duration) (p bullpen.ShareLink, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		p, err = onlyShare(tx.QueryRow(`SELECT `+shareFields+` FROM shares l WHERE l.id = ? AND l.academy_id = ?`, id, tx.academy))
		if err != nil {
			return one(err, "link")
		}
		if err := shareLinks.renewable(p.Link); err != nil {
			return err
		}
		if err := tx.mayShow(p.BullpenID); err != nil {
			return err
		}
		return tx.renewLink(shareLinks, &p.Link, lasts)
	})
	return p, err
}

// RevokeShare closes a link for good.
func (s *Store) RevokeShare(ctx context.Context, id string) (bullpen.ShareLink, error) {
	if err := s.revokeLink(ctx, shareLinks, id); err != nil {
		return bullpen.ShareLink{}, err
	}
	return s.Share(ctx, id)
}

// OpenShare returns the open link with that token and whose it is; any other is NotFound.
func (s *Store) OpenShare(ctx context.Context, token string) (p bullpen.ShareLink, academy string, err error) {
	return s.openShare(ctx, `l.token = ?`, digest(token))
}

// OpenShareByID returns a link that is open, by its ID.
func (s *Store) OpenShareByID(ctx context.Context, id string) (p bullpen.ShareLink, academy string, err error) {
	return s.openShare(ctx, `l.id = ?`, id)
}

func (s *Store) openShare(ctx context.Context, which string, arg any) (p bullpen.ShareLink, academy string, err error) {
	p, err = shareFrom(s.read.QueryRowContext(ctx, `SELECT `+shareFields+`, l.academy_id FROM shares l WHERE `+which, arg), &academy)
	if err := s.opened(p.Link, err); err != nil {
		return bullpen.ShareLink{}, "", err
	}
	return p, academy, nil
}

// UseShare notes that a link's page was looked at.
func (s *Store) UseShare(ctx context.Context, id string) error {
	return s.useLink(ctx, shareLinks, id)
}
