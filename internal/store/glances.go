package store

import (
	"context"
	"encoding/json"
	"fmt"

	"tenoff/internal/bullpen"
)

// GlanceAt is what a bullpen tells at a glance, and whether that still holds.
type GlanceAt struct {
	bullpen.Glance
	BullpenID, PitcherID, PitcherLabel string
	Day                                string
	Fresh                              bool // nothing has changed since it was made
}

func glanceFrom(row scanner) (g GlanceAt, err error) {
	var text string
	if err := row.Scan(&g.BullpenID, &g.PitcherID, &g.PitcherLabel, &g.Day, &g.Fresh, &text); err != nil || text == "" {
		g.Fresh = false
		return g, err
	}
	if err := json.Unmarshal([]byte(text), &g.Glance); err != nil {
		return g, fmt.Errorf("glance of bullpen %s: %w", g.BullpenID, err)
	}
	return g, nil
}

const glanceFields = `b.id, b.pitcher_id, p.label, b.day, b.judged = b.revision AND p.behind = 0, b.glance`

// Glances returns those of the given bullpens, in no order.
func (s *Store) Glances(ctx context.Context, ids []string) ([]GlanceAt, error) {
	if len(ids) == 0 {
		return nil, nil
	}
	places, args := listed(ids)
	return all(ctx, s.read, glanceFrom, `SELECT `+glanceFields+` FROM bullpens b CROSS JOIN pitchers p ON p.id = b.pitcher_id
		WHERE b.id IN (`+places+`) AND b.academy_id = ?`, append(args, s.own(ctx))...)
}

// LatestGlances returns those of a pitcher's latest bullpens that have reps, the latest
// first.
func (s *Store) LatestGlances(ctx context.Context, pitcherID string, most int) ([]GlanceAt, error) {
	return all(ctx, s.read, glanceFrom, latestGlancesQuery, pitcherID, s.own(ctx), most)
}

const latestGlancesQuery = `SELECT ` + glanceFields + ` FROM bullpens b INDEXED BY bullpens_by_pitcher CROSS JOIN pitchers p ON p.id = b.pitcher_id
	WHERE b.pitcher_id = ? AND b.academy_id = ? AND b.reps > 0 ORDER BY b.day DESC, b.created DESC, b.id DESC LIMIT ?`

// AskedGlances returns those of bullpens with readings that are asked about, the latest
// first. One that has changed since may have been settled: its glance is not Fresh.
func (s *Store) AskedGlances(ctx context.Context, most int) ([]GlanceAt, error) {
	return all(ctx, s.read, glanceFrom, askedGlancesQuery, s.own(ctx), most)
}

const askedGlancesQuery = `SELECT ` + glanceFields + ` FROM bullpens b INDEXED BY bullpens_asked CROSS JOIN pitchers p ON p.id = b.pitcher_id
	WHERE b.asked > 0 AND b.academy_id = ? ORDER BY b.day DESC, b.created DESC, b.id DESC LIMIT ?`
