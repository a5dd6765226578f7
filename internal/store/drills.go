package store

import (
	"context"
	"database/sql"
	"errors"
	"slices"

	"tenoff/internal/bullpen"
)

const drillFields = `d.id, d.version, d.name, d.how_to, coalesce(d.clip_id, '')`

func drillFrom(row scanner) (d bullpen.Drill, err error) {
	return d, row.Scan(&d.ID, &d.Version, &d.Name, &d.HowTo, &d.ClipID)
}

// drillsBegun is the setting that says the starter list was put down.
const drillsBegun = "drills begun"

// Drills lists the drills by name. Who never had any gets the starter list.
func (s *Store) Drills(ctx context.Context) ([]bullpen.Drill, error) {
	begun, err := s.Setting(ctx, drillsBegun)
	if err != nil {
		return nil, err
	}
	if begun == "" {
		if err := s.beginDrills(ctx); err != nil {
			return nil, err
		}
	}
	return all(ctx, s.read, drillFrom, `SELECT `+drillFields+` FROM drills d WHERE d.academy_id = ? ORDER BY d.name COLLATE NOCASE, d.id`, s.own(ctx))
}

func (s *Store) beginDrills(ctx context.Context) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`INSERT INTO settings (academy_id, name, value) VALUES (?, ?, '1') ON CONFLICT DO NOTHING`, tx.academy, drillsBegun)
		if err != nil {
			return err
		}
		if n, err := res.RowsAffected(); err != nil || n == 0 {
			return err
		}
		for _, d := range bullpen.StarterDrills {
			if _, err := tx.addDrill(d); err != nil && bullpen.CodeOf(err) != bullpen.Conflict {
				return err
			}
		}
		return nil
	})
}

// Drill returns one drill.
func (s *Store) Drill(ctx context.Context, id string) (bullpen.Drill, error) {
	d, err := drillFrom(s.read.QueryRowContext(ctx, `SELECT `+drillFields+` FROM drills d WHERE d.id = ? AND d.academy_id = ?`, id, s.own(ctx)))
	return d, one(err, "drill")
}

// AddDrill stores a new drill. A name that is taken is refused with Conflict.
func (s *Store) AddDrill(ctx context.Context, d bullpen.Drill) (bullpen.Drill, error) {
	err := s.tx(ctx, func(tx *tx) (err error) {
		if err := s.example(tx, d); err != nil {
			return err
		}
		d, err = tx.addDrill(d)
		return err
	})
	return d, err
}

func (t *tx) addDrill(d bullpen.Drill) (bullpen.Drill, error) {
	d.Name = bullpen.DrillName(d.Name)
	if err := t.freeName(d); err != nil {
		return d, err
	}
	d.ID, d.Version = newID(), 1
	_, err := t.Exec(`INSERT INTO drills (id, academy_id, version, created, name, how_to, clip_id) VALUES (?, ?, 1, ?, ?, ?, ?)`,
		d.ID, t.academy, t.now, d.Name, d.HowTo, null(d.ClipID))
	return d, err
}

// freeName refuses a name that another drill has.
func (t *tx) freeName(d bullpen.Drill) error {
	var id string
	err := t.QueryRow(`SELECT id FROM drills WHERE academy_id = ? AND name COLLATE NOCASE = ?`, t.academy, d.Name).Scan(&id)
	switch {
	case errors.Is(err, sql.ErrNoRows) || err == nil && id == d.ID:
		return nil
	case err != nil:
		return err
	}
	return bullpen.Errorf(bullpen.Conflict, "There is a drill called “%s” already; change that one, or choose another name.", d.Name)
}

// example refuses a clip that is not finished, or of a pitcher nobody said yes for:
// other students will see it.
func (s *Store) example(tx *tx, d bullpen.Drill) error {
	if d.ClipID == "" {
		return nil
	}
	pitchers, err := all(tx.ctx, tx.Tx, text, `SELECT r.pitcher_id FROM clips c JOIN reps r ON r.id IN (c.rep_id, c.other_id)
		WHERE c.id = ? AND c.academy_id = ? AND c.sent_with IS NULL AND c.state = 'ready'`, d.ClipID, tx.academy)
	if err != nil {
		return err
	}
	if len(pitchers) == 0 {
		return bullpen.Errorf(bullpen.Invalid, "An example has to be a finished clip on the shelf.")
	}
	for _, id := range slices.Compact(pitchers) {
		standing, err := tx.consented(id, bullpen.ForExamples)
		if err != nil {
			return err
		}
		if !standing {
			return bullpen.Errorf(bullpen.Invalid, "Other students will see this example: record first that her guardian said yes to examples.")
		}
	}
	return nil
}

// SaveDrill stores d if d.Version is still the current one.
func (s *Store) SaveDrill(ctx context.Context, d bullpen.Drill) (bullpen.Drill, error) {
	d.Name = bullpen.DrillName(d.Name)
	err := s.tx(ctx, func(tx *tx) error {
		if err := s.example(tx, d); err != nil {
			return err
		}
		if err := tx.freeName(d); err != nil {
			return err
		}
		return tx.update("drill", "drills", d.ID, d.Version, `name = ?, how_to = ?, clip_id = ?`, d.Name, d.HowTo, null(d.ClipID))
	})
	d.Version++
	return d, err
}

// RemoveDrill removes a drill. What was handed out keeps its copy.
func (s *Store) RemoveDrill(ctx context.Context, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`DELETE FROM drills WHERE id = ? AND academy_id = ?`, id, tx.academy)
		return hit(res, err, "drill")
	})
}
