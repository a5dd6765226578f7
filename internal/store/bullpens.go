package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"tenoff/internal/bullpen"
)

// BullpenCard is a bullpen in a list.
type BullpenCard struct {
	bullpen.Bullpen
	Revision     int64
	PitcherLabel string
	Films        int
	Reading      int // films still being read
	Reps         int
	Readings     int
	Clips        int // clips on the shelf that can be played, as Clips lists them
}

const bullpenFields = `b.id, b.version, b.revision, b.pitcher_id, b.day, b.title, b.gun, b.gun_name, b.unit, b.step, b.note, b.created`

func bullpenFrom(row scanner, more ...any) (b bullpen.Bullpen, revision int64, err error) {
	err = row.Scan(append([]any{&b.ID, &b.Version, &revision, &b.PitcherID, &b.Day, &b.Title, &b.Gun, &b.GunName, &b.Unit, &b.Step, &b.Note, &b.Begun}, more...)...)
	return b, revision, err
}

// MostRows is the most that a page of a list may hold.
const MostRows = 500

// Page says which part of a list is wanted.
type Page struct {
	Cursor string // what the last page answered; "" for the first
	Limit  int    // 1 to MostRows
}

func (p Page) limit() int {
	if p.Limit <= 0 {
		return 50
	}
	return min(p.Limit, MostRows)
}

// errCursor is a cursor that this program did not make.
var errCursor = bullpen.Errorf(bullpen.Invalid, "That is not a page of this list; start at its beginning.")

// Bullpens lists the bullpens of one pitcher or of all (""), the latest day first and
// of one day the one begun last, with the next page's cursor, "" after the last.
func (s *Store) Bullpens(ctx context.Context, pitcherID string, page Page) ([]BullpenCard, string, error) {
	query, args, err := bullpensQuery(s.own(ctx), pitcherID, page)
	if err != nil {
		return nil, "", err
	}
	cards, err := all(ctx, s.read, func(row scanner) (c BullpenCard, err error) {
		c.Bullpen, c.Revision, err = bullpenFrom(row, &c.PitcherLabel, &c.Films, &c.Reading, &c.Reps, &c.Readings, &c.Clips)
		return c, err
	}, query, args...)
	next := ""
	if limit := page.limit(); len(cards) > limit {
		cards = cards[:limit]
		last := cards[limit-1]
		next = fmt.Sprintf("%s %d %s", last.Day, last.Begun, last.ID)
	}
	return cards, next, err
}

func bullpensQuery(academy, pitcherID string, page Page) (string, []any, error) {
	index, where, args := `bullpens_by_day`, `b.academy_id = ?`, []any{academy}
	if pitcherID != "" {
		index, where, args = `bullpens_by_pitcher`, `b.pitcher_id = ? AND b.academy_id = ?`, []any{pitcherID, academy}
	}
	if page.Cursor != "" {
		part := strings.Split(page.Cursor, " ")
		if len(part) != 3 {
			return "", nil, errCursor
		}
		begun, err := strconv.ParseInt(part[1], 10, 64)
		if err != nil {
			return "", nil, errCursor
		}
		where += ` AND (b.day, b.created, b.id) < (?, ?, ?)`
		args = append(args, part[0], begun, part[2])
	}
	return `SELECT ` + bullpenFields + `, p.label,
		(SELECT count(*) FROM films f WHERE f.bullpen_id = b.id AND f.state <> 'refused'),
		(SELECT count(*) FROM films f WHERE f.bullpen_id = b.id AND f.state IN ('arriving', 'reading')),
		b.reps, b.readings,
		(SELECT count(*) FROM clips c JOIN reps r ON r.id = c.rep_id WHERE c.bullpen_id = b.id AND c.sent_with IS NULL AND c.made <> '' AND r.deleted = 0)
		FROM bullpens b INDEXED BY ` + index + ` CROSS JOIN pitchers p ON p.id = b.pitcher_id
		WHERE ` + where + ` ORDER BY b.day DESC, b.created DESC, b.id DESC LIMIT ?`, append(args, page.limit()+1), nil
}

// Bullpen returns one bullpen and its revision.
func (s *Store) Bullpen(ctx context.Context, id string) (bullpen.Bullpen, int64, error) {
	b, revision, err := bullpenFrom(s.read.QueryRowContext(ctx, `SELECT `+bullpenFields+` FROM bullpens b WHERE b.id = ? AND b.academy_id = ?`, id, s.own(ctx)))
	return b, revision, one(err, "bullpen")
}

// AddBullpen stores a new bullpen. daySaid tells that somebody chose its day; else
// it moves to the day of the first film that knows its own.
func (s *Store) AddBullpen(ctx context.Context, b bullpen.Bullpen, daySaid bool) (bullpen.Bullpen, error) {
	err := s.tx(ctx, func(tx *tx) (err error) {
		b, err = s.addBullpen(tx, b, daySaid)
		return err
	})
	return b, err
}

// AddBullpenFor stores a new pitcher and her first bullpen together.
func (s *Store) AddBullpenFor(ctx context.Context, p bullpen.Pitcher, b bullpen.Bullpen, daySaid bool) (bullpen.Pitcher, bullpen.Bullpen, error) {
	err := s.tx(ctx, func(tx *tx) (err error) {
		if p, err = s.addPitcher(tx, p); err != nil {
			return err
		}
		b.PitcherID = p.ID
		b, err = s.addBullpen(tx, b, daySaid)
		return err
	})
	return p, b, err
}

func (s *Store) addBullpen(tx *tx, b bullpen.Bullpen, daySaid bool) (bullpen.Bullpen, error) {
	if err := s.owns(tx, "pitcher", "pitchers", b.PitcherID); err != nil {
		return b, err
	}
	gun, name, err := lastGun(tx, b.PitcherID)
	if err != nil {
		return b, err
	}
	if b.Gun = cmp.Or(b.Gun, gun); b.Gun == gun {
		b.GunName = cmp.Or(b.GunName, name)
	}
	b.ID, b.Version, b.Begun = newID(), 1, tx.now
	_, err = tx.Exec(`INSERT INTO bullpens (id, academy_id, pitcher_id, version, revision, created, day, day_said, title, gun, gun_name, unit, step, note)
		VALUES (?, ?, ?, 1, 1, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		b.ID, tx.academy, b.PitcherID, tx.now, b.Day, daySaid, b.Title, b.Gun, b.GunName, b.Unit, b.Step, b.Note)
	tx.changed[b.ID] = 1
	return b, err
}

// lastGun is where the gun stood in her latest bullpen, and which it was: a gun has its place, and
// readings from another one can't be compared. Behind the catcher without a bullpen.
func lastGun(tx *tx, pitcherID string) (gun bullpen.GunPlace, name string, err error) {
	err = tx.QueryRow(`SELECT gun, gun_name FROM bullpens WHERE pitcher_id = ? ORDER BY day DESC, created DESC LIMIT 1`, pitcherID).Scan(&gun, &name)
	if errors.Is(err, sql.ErrNoRows) {
		return bullpen.BehindCatcher, "", nil
	}
	return gun, name, err
}

// owns says NotFound unless the row exists and is this academy's.
func (s *Store) owns(tx *tx, what, table, id string) error {
	var n int
	if err := tx.QueryRow(`SELECT count(*) FROM `+table+` WHERE id = ? AND academy_id = ?`, id, tx.academy).Scan(&n); err != nil {
		return err
	}
	if n == 0 {
		return notFound(what)
	}
	return nil
}

// SaveBullpen stores b if b.Version is still the current one. Its reps move along
// with a new pitcher or day.
func (s *Store) SaveBullpen(ctx context.Context, b bullpen.Bullpen) (bullpen.Bullpen, int64, error) {
	var revision int64
	err := s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "pitcher", "pitchers", b.PitcherID); err != nil {
			return err
		}
		var others int
		if err := tx.QueryRow(`SELECT count(*) FROM homeworks WHERE bullpen_id = ? AND pitcher_id <> ?`, b.ID, b.PitcherID).Scan(&others); err != nil {
			return err
		}
		if others > 0 { // her slip opens it
			return bullpen.Errorf(bullpen.Invalid, "This bullpen is a homework and stays with the pitcher it was handed to.")
		}
		was, _, err := bullpenFrom(tx.QueryRow(`SELECT `+bullpenFields+` FROM bullpens b WHERE b.id = ? AND b.academy_id = ?`, b.ID, tx.academy))
		if err != nil {
			return one(err, "bullpen")
		}
		// A link that shows it was made for her and with her guardian's consent; one to the
		// field page takes what is typed for her.
		if _, err := tx.closeLinks(shareLinks, `bullpen_id = (SELECT id FROM bullpens WHERE id = ? AND pitcher_id <> ?)`, b.ID, b.PitcherID); err != nil {
			return err
		}
		if _, err := tx.Exec(`UPDATE field_links SET closed = ? WHERE closed = 0 AND bullpen_id = (SELECT id FROM bullpens WHERE id = ? AND pitcher_id <> ?)`, tx.now, b.ID, b.PitcherID); err != nil {
			return err
		}
		err = tx.update("bullpen", "bullpens", b.ID, b.Version,
			`pitcher_id = ?, day_said = CASE WHEN day <> ? THEN 1 ELSE day_said END, day = ?, title = ?, gun = ?, gun_name = ?, unit = ?, step = ?, note = ?`,
			b.PitcherID, b.Day, b.Day, b.Title, b.Gun, b.GunName, b.Unit, b.Step, b.Note)
		if err != nil {
			return err
		}
		_, err = tx.Exec(`UPDATE reps SET pitcher_id = ?, day = ? WHERE bullpen_id = ? AND (pitcher_id <> ? OR day <> ?)`,
			b.PitcherID, b.Day, b.ID, b.PitcherID, b.Day)
		touched, touchErr := tx.touch(b.ID)
		revision = touched
		return errors.Join(err, touchErr, tx.moved(was, b))
	})
	b.Version++
	return b, revision, err
}

// moved raises the revision of the bullpens that look back on one whose readings now lie
// elsewhere, or are others: from where it was and from where it is.
func (t *tx) moved(was, now bullpen.Bullpen) error {
	if was.PitcherID == now.PitcherID && was.Day == now.Day && was.Gun == now.Gun && was.GunName == now.GunName && was.Unit == now.Unit && was.Step == now.Step {
		return nil
	}
	return errors.Join(t.touchAfter(spotOf(was), now.ID), t.touchAfter(spotOf(now), now.ID))
}

// AllBullpens lists all bullpens of one pitcher, latest first.
func (s *Store) AllBullpens(ctx context.Context, pitcherID string) ([]BullpenCard, error) {
	var out []BullpenCard
	page := Page{Limit: 500}
	for {
		cards, next, err := s.Bullpens(ctx, pitcherID, page)
		out = append(out, cards...)
		if err != nil || next == "" {
			return out, err
		}
		page.Cursor = next
	}
}
