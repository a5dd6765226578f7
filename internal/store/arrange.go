package store

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
)

// placed is a film in the order of its bullpen.
type placed struct {
	id                string
	position          int
	recorded, created int64
	name              string
}

func placedFrom(row scanner) (p placed, err error) {
	return p, row.Scan(&p.id, &p.position, &p.recorded, &p.created, &p.name)
}

func films(tx *tx, bullpenID string) ([]placed, error) {
	return all(tx.ctx, tx.Tx, placedFrom, `SELECT id, position, recorded, created, name FROM films WHERE bullpen_id = ? ORDER BY position, id`, bullpenID)
}

// arrange puts a bullpen's films in the order they were filmed, unless somebody
// chose another: by the time they know while all of them know it, else by name, as
// phones number what they film.
func arrange(tx *tx, bullpenID string) error {
	var chosen bool
	if err := tx.QueryRow(`SELECT arranged FROM bullpens WHERE id = ?`, bullpenID).Scan(&chosen); err != nil {
		return err
	}
	list, err := films(tx, bullpenID)
	if err != nil || chosen {
		return err
	}
	timed := !slices.ContainsFunc(list, func(p placed) bool { return p.recorded == 0 })
	slices.SortStableFunc(list, func(a, b placed) int {
		if timed && a.recorded != b.recorded {
			return cmp.Compare(a.recorded, b.recorded)
		}
		return cmp.Or(compareNames(a.name, b.name), cmp.Compare(a.created, b.created))
	})
	return place(tx, bullpenID, list)
}

// Arranged reports whether somebody has said in which order a bullpen's films were
// filmed.
func (s *Store) Arranged(ctx context.Context, bullpenID string) (said bool, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT arranged FROM bullpens WHERE id = ? AND academy_id = ?`, bullpenID, s.own(ctx)).Scan(&said)
	return said, one(err, "bullpen")
}

// Arrange notes that a bullpen's films lie in the order in which they were filmed.
func (s *Store) Arrange(ctx context.Context, bullpenID string) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`UPDATE bullpens SET arranged = 1 WHERE id = ? AND academy_id = ?`, bullpenID, s.own(ctx))
		if err := hit(res, err, "bullpen"); err != nil {
			return err
		}
		_, err = tx.touch(bullpenID)
		return err
	})
}

// moveFilm puts a film at f.Position among the others.
func moveFilm(tx *tx, f bullpen.Film) error {
	if _, err := tx.Exec(`UPDATE bullpens SET arranged = 1 WHERE id = ?`, f.BullpenID); err != nil {
		return err
	}
	list, err := films(tx, f.BullpenID)
	if err != nil {
		return err
	}
	from := slices.IndexFunc(list, func(p placed) bool { return p.id == f.ID })
	moved := list[from]
	list = slices.Delete(list, from, from+1)
	list = slices.Insert(list, min(max(f.Position, 0), len(list)), moved)
	return place(tx, f.BullpenID, list)
}

// place numbers the films 0, 1, 2 ... and lets the reps follow.
func place(tx *tx, bullpenID string, list []placed) error {
	moved := false
	for i, p := range list {
		if p.position == i {
			continue
		}
		moved = true
		if _, err := tx.Exec(`UPDATE films SET position = ? WHERE id = ?`, i, p.id); err != nil {
			return err
		}
	}
	if !moved {
		return nil
	}
	return renumber(tx, bullpenID)
}

// compareNames orders file names as people do: IMG_2 before IMG_10.
func compareNames(a, b string) int {
	for a != "" && b != "" {
		x, y := leading(a), leading(b)
		a, b = a[len(x):], b[len(y):]
		if isDigit(x[0]) && isDigit(y[0]) {
			m, n := strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
			if c := cmp.Or(cmp.Compare(len(m), len(n)), strings.Compare(m, n)); c != 0 {
				return c
			}
			continue
		}
		if c := strings.Compare(strings.ToLower(x), strings.ToLower(y)); c != 0 {
			return c
		}
	}
	return cmp.Compare(len(a), len(b))
}

// leading returns the digits, or the other bytes, that s begins with.
func leading(s string) string {
	end := 1
	for end < len(s) && isDigit(s[end]) == isDigit(s[0]) {
		end++
	}
	return s[:end]
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }
