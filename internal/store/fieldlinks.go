package store

import (
	"context"
	"time"

	"tenoff/internal/bullpen"
)

const fieldLinkFields = `l.id, coalesce(l.bullpen_id, ''), l.created, l.expires, l.closed, l.last_used`

func fieldLinkFrom(row scanner, more ...any) (l bullpen.FieldLink, err error) {
	return l, row.Scan(append([]any{&l.ID, &l.BullpenID, &l.Created, &l.Expires, &l.Closed, &l.LastUsed}, more...)...)
}

func onlyFieldLink(row scanner) (bullpen.FieldLink, error) { return fieldLinkFrom(row) }

// AddFieldLink makes a link to the field page that lasts so long from now, for one bullpen
// or ("") for all pitchers, and returns it with its token, which is kept nowhere.
func (s *Store) AddFieldLink(ctx context.Context, bullpenID string, lasts time.Duration) (l bullpen.FieldLink, token string, err error) {
	l = bullpen.FieldLink{ID: newID(), BullpenID: bullpenID}
	token, hash := secret()
	err = s.tx(ctx, func(tx *tx) error {
		if bullpenID != "" {
			if err := s.owns(tx, "bullpen", "bullpens", bullpenID); err != nil {
				return err
			}
		}
		l.Created, l.Expires = tx.now, tx.now+lasts.Microseconds()
		_, err := tx.Exec(`INSERT INTO field_links (id, academy_id, bullpen_id, token, created, expires, closed, last_used) VALUES (?, ?, ?, ?, ?, ?, 0, 0)`,
			l.ID, tx.academy, null(bullpenID), hash, l.Created, l.Expires)
		return err
	})
	return l, token, err
}

// FieldLinks lists the links to the field page that are open, latest first.
func (s *Store) FieldLinks(ctx context.Context) ([]bullpen.FieldLink, error) {
	return all(ctx, s.read, onlyFieldLink, `SELECT `+fieldLinkFields+` FROM field_links l
		WHERE l.academy_id = ? AND l.closed = 0 AND l.expires > ? ORDER BY l.created DESC, l.id DESC`, s.own(ctx), s.now().UnixMicro())
}

// RevokeFieldLink closes a link to the field page for good.
func (s *Store) RevokeFieldLink(ctx context.Context, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`UPDATE field_links SET closed = iif(closed = 0, ?, closed) WHERE id = ? AND academy_id = ?`, tx.now, id, tx.academy)
		return hit(res, err, "link")
	})
}

// OpenFieldLink returns the open link with that token and whose it is, and notes that it
// was used; any other is NotFound, whether it never was one, has run out or was closed.
func (s *Store) OpenFieldLink(ctx context.Context, token string) (l bullpen.FieldLink, academy string, err error) {
	l, err = fieldLinkFrom(s.read.QueryRowContext(ctx, `SELECT `+fieldLinkFields+`, l.academy_id FROM field_links l WHERE l.token = ?`, digest(token)), &academy)
	now := s.now().UnixMicro()
	if err = one(err, "link"); bullpen.CodeOf(err) == bullpen.NotFound || err == nil && !l.Open(now) {
		return bullpen.FieldLink{}, "", bullpen.Errorf(bullpen.NotFound, "This link opens nothing any more. Scan a new one from the laptop.")
	}
	if err != nil || now-l.LastUsed < time.Minute.Microseconds() {
		return l, academy, err
	}
	err = s.tx(Within(ctx, academy), func(tx *tx) error {
		_, err := tx.Exec(`UPDATE field_links SET last_used = ? WHERE id = ?`, now, l.ID)
		return err
	})
	return l, academy, err
}
