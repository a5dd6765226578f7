package store

import (
	"context"
	"slices"

	"tenoff/internal/bullpen"
)

// usualOf is how many of the latest bullpens before say what a pitcher throws, and how
// much that differs from rep to rep.
const usualOf = 9

// Usual returns what she throws in the bullpens of that day and before, but for this
// one: the median of the mean speeds of her full pitches, drills, warm-ups and pitches
// that are meant to be slower left out, so that a single bullpen in the wrong unit
// speaks for nothing. 0 means that none of them has such a reading.
func (s *Store) Usual(ctx context.Context, pen bullpen.Bullpen) (bullpen.Speed, error) {
	full, args := "", []any{bullpen.KMH, bullpen.KMHPerMPH}
	for _, t := range bullpen.PitchTypes {
		if t.Band == nil {
			full += ", ?"
			args = append(args, t.Code)
		}
	}
	// Bullpen by bullpen from the latest on, until there are enough: this stands in the
	// way of every sheet, and a season has hundreds.
	means, err := all(ctx, s.read, func(row scanner) (mean float64, err error) {
		return mean, row.Scan(&mean)
	}, `SELECT mean FROM (
			SELECT (SELECT avg(CASE coalesce(nullif(r.unit, ''), b.unit) WHEN ? THEN r.reading / ? ELSE r.reading END)
				FROM reps r WHERE r.bullpen_id = b.id AND r.deleted = 0
				AND r.reading > 0 AND r.warm_up = 0 AND r.drill = '' AND r.pitch IN (`+full[2:]+`)) AS mean
			FROM bullpens b INDEXED BY bullpens_by_pitcher
			WHERE b.pitcher_id = ? AND b.id <> ? AND b.day <= ? AND b.academy_id = ?
			ORDER BY b.day DESC, b.created DESC
		) AS of_each WHERE mean IS NOT NULL LIMIT ?`, append(args, pen.PitcherID, pen.ID, pen.Day, s.own(ctx), usualOf)...)
	if err != nil || len(means) == 0 {
		return 0, err
	}
	slices.Sort(means)
	n := len(means)
	return bullpen.Speed(means[(n-1)/2]+means[n/2]) / 2, nil
}

// Earlier returns her latest bullpens of earlier days that were read from the same place by
// the same gun, with their revisions: those whose readings spread as pen's will.
func (s *Store) Earlier(ctx context.Context, pen bullpen.Bullpen) ([]BullpenCard, error) {
	return all(ctx, s.read, func(row scanner) (c BullpenCard, err error) {
		c.Bullpen, c.Revision, err = bullpenFrom(row)
		return c, err
	}, `SELECT `+bullpenFields+` FROM bullpens b INDEXED BY bullpens_by_pitcher
		WHERE b.pitcher_id = ? AND b.day < ? AND b.gun = ? AND b.gun_name = ? AND b.readings > 0 AND b.academy_id = ?
		ORDER BY b.day DESC, b.created DESC, b.id DESC LIMIT ?`, pen.PitcherID, pen.Day, pen.Gun, pen.GunName, s.own(ctx), usualOf)
}

// touchAfter raises the revision of her bullpens from that day on, but for the given one:
// what is said of them hangs on what she threw before.
func (t *tx) touchAfter(pitcherID, day, but string) error {
	return t.touchAll(`SELECT id FROM bullpens INDEXED BY bullpens_by_pitcher WHERE pitcher_id = ? AND day >= ? AND id <> ?`, pitcherID, day, but)
}

// touchAfterIt does so for the bullpens after one.
func (t *tx) touchAfterIt(bullpenID string) error {
	var pitcherID, day string
	if err := t.QueryRow(`SELECT pitcher_id, day FROM bullpens WHERE id = ?`, bullpenID).Scan(&pitcherID, &day); err != nil {
		return one(err, "bullpen")
	}
	return t.touchAfter(pitcherID, day, bullpenID)
}
