package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"strings"
	"time"

	"tenoff/internal/bullpen"
)

// links is a table of private links: what they have in common, whatever they lead to.
type links struct{ table, what string }

var (
	slipLinks  = links{"slips", "slip"}
	shareLinks = links{"shares", "link"}
	fieldLinks = links{"field_links", "link"}
)

// linkFields are those of a table of links that can be renewed, called l.
const linkFields = `l.id, l.created, l.expires, l.closed, l.restored, l.last_used`

// linkInto are the places of a link's fields for a row to be scanned into.
func linkInto(l *bullpen.Link) []any {
	return []any{&l.ID, &l.Created, &l.Expires, &l.Closed, &l.Restored, &l.LastUsed}
}

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

// newLink is a link that lasts so long from now.
func (t *tx) newLink(lasts time.Duration) bullpen.Link {
	return bullpen.Link{ID: newID(), Created: t.now, Expires: t.now + lasts.Microseconds()}
}

// renewable refuses a link that somebody closed: one that was closed because a backup was
// brought back opens again.
func (of links) renewable(l bullpen.Link) error {
	if l.Closed != 0 && !l.Restored {
		return bullpen.Errorf(bullpen.Conflict, "This %s was revoked and stays closed; make a new one.", of.what)
	}
	return nil
}

// renewLink makes a renewable link last so long from now, one that opens for longer than
// that as long as it does.
func (t *tx) renewLink(of links, l *bullpen.Link, lasts time.Duration) error {
	until := t.now + lasts.Microseconds()
	if l.Open(t.now) {
		until = max(until, l.Expires)
	}
	l.Expires, l.Closed, l.Restored = until, 0, false
	_, err := t.Exec(`UPDATE `+of.table+` SET expires = ?, closed = 0, restored = 0 WHERE id = ?`, l.Expires, l.ID)
	return err
}

// closeLinks closes the links that match for good and counts those that were open.
func (t *tx) closeLinks(of links, which string, args ...any) (open int, err error) {
	if err := t.QueryRow(`SELECT count(*) FROM `+of.table+` WHERE closed = 0 AND expires > ? AND `+which, append([]any{t.now}, args...)...).Scan(&open); err != nil {
		return 0, err
	}
	_, err = t.Exec(`UPDATE `+of.table+` SET closed = CASE WHEN closed = 0 THEN ? ELSE closed END, restored = 0 WHERE (closed = 0 OR restored = 1) AND `+which, append([]any{t.now}, args...)...)
	return open, err
}

// revokeLink closes one link for good.
func (s *Store) revokeLink(ctx context.Context, of links, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, of.what, of.table, id); err != nil {
			return err
		}
		_, err := tx.closeLinks(of, `id = ?`, id)
		return err
	})
}

// useLink notes that a link's page was looked at.
func (s *Store) useLink(ctx context.Context, of links, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		_, err := tx.Exec(`UPDATE `+of.table+` SET last_used = ? WHERE id = ?`, tx.now, id)
		return err
	})
}

// errNoLink is what everybody hears whose token opens nothing: whether it was never
// one, has expired or was closed is not said.
var errNoLink = bullpen.Errorf(bullpen.NotFound, "This link opens nothing. Ask your instructor for a new one.")

// opened passes on a link that was looked up with err if it is open; any other is
// NotFound.
func (s *Store) opened(l bullpen.Link, err error) error {
	if err = one(err, "link"); bullpen.CodeOf(err) == bullpen.NotFound || err == nil && !l.Open(s.Now()) {
		return errNoLink
	}
	return err
}

// mustConsent refuses what a pitcher's guardian has not said yes to.
func (t *tx) mustConsent(pitcherID string, to bullpen.Purpose) error {
	standing, err := t.consented(pitcherID, to)
	if err == nil && !standing {
		err = bullpen.Errorf(bullpen.Invalid, "Record a guardian's consent to her %s first: who said yes, and when.", to)
	}
	return err
}
