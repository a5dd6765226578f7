package store

import (
	"context"
	"slices"

	"tenoff/internal/bullpen"
)

// Shows lists the pitchers whom a clip shows.
func (s *Store) Shows(ctx context.Context, clipID string) ([]string, error) {
	pitchers, err := all(ctx, s.read, text, `SELECT r.pitcher_id FROM clips c JOIN reps r ON r.id IN (c.rep_id, c.other_id)
		WHERE c.id = ? AND c.sent_with IS NULL AND c.academy_id = ? ORDER BY r.pitcher_id`, clipID, s.own(ctx))
	if err == nil && len(pitchers) == 0 {
		err = notFound("clip")
	}
	return slices.Compact(pitchers), err
}

// HasExample reports whether one of the academy's drills shows a clip as its
// example.
func (s *Store) HasExample(ctx context.Context, clipID string) (is bool, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM drills d JOIN clips c ON c.id = d.clip_id
		WHERE d.clip_id = ? AND d.academy_id = ? AND c.sent_with IS NULL)`, clipID, s.own(ctx)).Scan(&is)
	return is, explain(err)
}

// PitcherOf returns whose a rep is.
func (s *Store) PitcherOf(ctx context.Context, r bullpen.Rep) (string, error) {
	b, _, err := s.Bullpen(ctx, r.BullpenID)
	return b.PitcherID, err
}
