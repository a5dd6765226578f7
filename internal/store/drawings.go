package store

import (
	"context"
	"encoding/json"
	"fmt"

	"tenoff/internal/bullpen"
)

func drawingFrom(row scanner) (d bullpen.Drawing, err error) {
	var shapes []byte
	if err := row.Scan(&d.RepID, &d.Frame, &d.Version, &shapes); err != nil {
		return d, err
	}
	if err := json.Unmarshal(shapes, &d.Shapes); err != nil {
		return d, fmt.Errorf("drawing on rep %s: %w", d.RepID, err)
	}
	return d, nil
}

// Drawings lists what was drawn on a rep, by frame.
func (s *Store) Drawings(ctx context.Context, repID string) ([]bullpen.Drawing, error) {
	return all(ctx, s.read, drawingFrom, `SELECT rep_id, frame, version, shapes FROM drawings WHERE rep_id = ? AND academy_id = ? ORDER BY frame`, repID, s.own(ctx))
}

// SaveDrawing stores what was drawn on one frame if d.Version is still the current
// one, 0 for a frame without a drawing. A drawing without shapes is removed.
func (s *Store) SaveDrawing(ctx context.Context, d bullpen.Drawing) (bullpen.Drawing, error) {
	shapes, err := json.Marshal(d.Shapes)
	if err != nil {
		return d, err
	}
	err = s.tx(ctx, func(tx *tx) error {
		var bullpenID string
		var now int64
		err := tx.QueryRow(`SELECT r.bullpen_id, coalesce((SELECT version FROM drawings WHERE rep_id = r.id AND frame = ?), 0) FROM reps r
			WHERE r.id = ? AND r.deleted = 0 AND r.academy_id = ?`, d.Frame, d.RepID, tx.academy).Scan(&bullpenID, &now)
		if err != nil {
			return one(err, "rep")
		}
		if now != d.Version {
			return stale("drawing")
		}
		if len(d.Shapes) == 0 {
			_, err = tx.Exec(`DELETE FROM drawings WHERE rep_id = ? AND frame = ?`, d.RepID, d.Frame)
			d.Version = 0
		} else {
			d.Version = now + 1
			_, err = tx.Exec(`INSERT INTO drawings (rep_id, frame, academy_id, version, changed, shapes) VALUES (?, ?, ?, ?, ?, ?)
				ON CONFLICT (rep_id, frame) DO UPDATE SET version = excluded.version, changed = excluded.changed, shapes = excluded.shapes`,
				d.RepID, d.Frame, tx.academy, d.Version, tx.now, string(shapes))
		}
		if err != nil {
			return err
		}
		_, err = tx.touch(bullpenID)
		return err
	})
	return d, err
}
