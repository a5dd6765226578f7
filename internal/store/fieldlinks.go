package store

import (
	"context"
	"time"

	"tenoff/internal/bullpen"
)

// A field link is closed for good by a backup that is brought back: it is never renewed.
const fieldLinkFields = `l.id, l.created, l.expires, l.closed, 0, l.last_used, coalesce(l.bullpen_id, '')`

func fieldLinkFrom(row scanner, more ...any) (l bullpen.FieldLink, err error) {
	return l, row.Scan(append(append(linkInto(&l.Link), &l.BullpenID), more...)...)
}

func onlyFieldLink(row scanner) (bullpen.FieldLink, error) { return fieldLinkFrom(row) }

// AddFieldLink makes a link to the field page that lasts so long from now, for one bullpen
// or ("") for all pitchers, and returns it with its token, which is kept nowhere.
func (s *Store) AddFieldLink(ctx context.Context, bullpenID string, lasts time.Duration) (l bullpen.FieldLink, token string, err error) {
	l.BullpenID = bullpenID
	token, hash := secret()
	err = s.tx(ctx, func(tx *tx) error {
		if bullpenID != "" {
			if err := s.owns(tx, "bullpen", "bullpens", bullpenID); err != nil {
				return err
			}
		}
		l.Link = tx.newLink(lasts)
		_, err := tx.Exec(`INSERT INTO field_links (id, academy_id, bullpen_id, token, created, expires, closed, last_used) VALUES (?, ?, ?, ?, ?, ?, 0, 0)`,
			l.ID, tx.academy, null(bullpenID), hash, l.Created, l.Expires)
		return err
	})
	return l, token, err
}

// FieldLinks lists the links to the field page that are open, latest first.
func (s *Store) FieldLinks(ctx context.Context) ([]bullpen.FieldLink, error) {
	return all(ctx, s.read, onlyFieldLink, `SELECT `+fieldLinkFields+` FROM field_links l
		WHERE l.academy_id = ? AND l.closed = 0 AND l.expires > ? ORDER BY l.created DESC, l.id DESC`, s.own(ctx), s.Now())
}

// RevokeFieldLink closes a link to the field page for good.
func (s *Store) RevokeFieldLink(ctx context.Context, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`UPDATE field_links SET closed = CASE WHEN closed = 0 THEN ? ELSE closed END WHERE id = ? AND academy_id = ?`, tx.now, id, tx.academy)
		return hit(res, err, "link")
	})
}

// OpenFieldLink returns the open link with that token and whose it is, and notes that it
// was used; any other is NotFound, whether it never was one, has run out or was closed.
func (s *Store) OpenFieldLink(ctx context.Context, token string) (l bullpen.FieldLink, academy string, err error) {
	l, err = fieldLinkFrom(s.read.QueryRowContext(ctx, `SELECT `+fieldLinkFields+`, l.academy_id FROM field_links l WHERE l.token = ?`, digest(token)), &academy)
	if err = s.opened(l.Link, err); bullpen.CodeOf(err) == bullpen.NotFound {
		return bullpen.FieldLink{}, "", bullpen.Errorf(bullpen.NotFound, "This link opens nothing any more. Scan a new one from the laptop.")
	}
	if err != nil || s.Now()-l.LastUsed < time.Minute.Microseconds() {
		return l, academy, err
	}
	return l, academy, s.useLink(Within(ctx, academy), fieldLinks, l.ID)
}
