package store

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
)

// usualOf is how many of the latest bullpens before say what a pitcher throws, and how
// much that differs from rep to rep.
const usualOf = 9

// usualMean is the mean speed of the full pitches among reps r of bullpens, mph, as SQL;
// it is kept with every revision. Drills, warm-ups and pitches that are meant to be slower
// are left out. A pitch type that is no longer meant to be slower, or is now, needs a
// migration that works it out again.
var usualMean = func() string {
	var full []string
	for _, t := range bullpen.PitchTypes {
		if t.Band == nil {
			full = append(full, "'"+string(t.Code)+"'")
		}
	}
	return fmt.Sprintf(`avg(CASE WHEN r.reading > 0 AND r.warm_up = 0 AND r.drill = '' AND r.pitch IN (%s)
		THEN CASE coalesce(nullif(r.unit, ''), bullpens.unit) WHEN '%s' THEN r.reading / %v ELSE r.reading END END)`,
		strings.Join(full, ", "), bullpen.KMH, bullpen.KMHPerMPH)
}()

// Usual returns what she throws in the bullpens of that day and before, but for this
// one: the median of the mean speeds of her full pitches, drills, warm-ups and pitches
// that are meant to be slower left out, so that a single bullpen in the wrong unit
// speaks for nothing. 0 means that none of them has such a reading.
func (s *Store) Usual(ctx context.Context, pen bullpen.Bullpen) (bullpen.Speed, error) {
	means, err := all(ctx, s.read, func(row scanner) (mean float64, err error) {
		return mean, row.Scan(&mean)
	}, usualQuery, pen.PitcherID, pen.ID, pen.Day, s.own(ctx), usualOf)
	if err != nil || len(means) == 0 {
		return 0, err
	}
	slices.Sort(means)
	n := len(means)
	return bullpen.Speed(means[(n-1)/2]+means[n/2]) / 2, nil
}

const usualQuery = `SELECT b.usual FROM bullpens b INDEXED BY bullpens_by_pitcher
	WHERE b.pitcher_id = ? AND b.id <> ? AND b.day <= ? AND b.academy_id = ? AND b.usual IS NOT NULL
	ORDER BY b.day DESC, b.created DESC, b.id DESC LIMIT ?`

// EarlierPen is a bullpen that says how much readings differ from rep to rep.
type EarlierPen struct {
	BullpenCard
	Spreads bullpen.Spreads // of its readings, as they were stored; nil where they are to be worked out
}

// Earlier returns her latest bullpens of earlier days that were read from the same place by
// the same gun, with their revisions: those whose readings spread as pen's will.
func (s *Store) Earlier(ctx context.Context, pen bullpen.Bullpen) ([]EarlierPen, error) {
	return all(ctx, s.read, func(row scanner) (e EarlierPen, err error) {
		var text string
		if e.Bullpen, e.Revision, err = bullpenFrom(row, &text); err != nil || text == "" {
			return e, err
		}
		if err := json.Unmarshal([]byte(text), &e.Spreads); err != nil {
			return e, fmt.Errorf("spreads of bullpen %s: %w", e.ID, err)
		}
		return e, nil
	}, earlierQuery, pen.PitcherID, pen.Day, pen.Gun, pen.GunName, s.own(ctx), usualOf)
}

const earlierQuery = `SELECT ` + bullpenFields + `, CASE WHEN b.judged = b.revision THEN b.spreads ELSE '' END FROM bullpens b INDEXED BY bullpens_by_pitcher
	WHERE b.pitcher_id = ? AND b.day < ? AND b.gun = ? AND b.gun_name = ? AND b.readings > 0 AND b.academy_id = ?
	ORDER BY b.day DESC, b.created DESC, b.id DESC LIMIT ?`

// spot is where a bullpen stands among her others, for those that look back on it.
type spot struct {
	pitcherID, day string
	gun            bullpen.GunPlace
	gunName        string
}

func spotOf(b bullpen.Bullpen) spot { return spot{b.PitcherID, b.Day, b.Gun, b.GunName} }

// touchAfter raises the revision of her bullpens that look back on one at that spot: what
// is said of them hangs on what she threw there. That is what Usual and Earlier go by: a
// bullpen looks back on usualOf with such readings and no further, so those behind so many
// others are left alone. Of one day, and where fewer lie between, rather one too many is
// raised than one too few.
func (t *tx) touchAfter(at spot, but string) error {
	const never = "~" // behind every day
	var usual, spread string
	err := t.QueryRow(lookBackQuery, at.pitcherID, at.day, but, usualOf, at.pitcherID, at.day, but, at.gun, at.gunName, usualOf-1).Scan(&usual, &spread)
	if err != nil {
		return err
	}
	if usual == "" {
		usual = never
	}
	if spread == "" {
		spread = never
	}
	return t.touchAll(`SELECT id FROM bullpens INDEXED BY bullpens_by_pitcher WHERE pitcher_id = ? AND day >= ? AND day <= ? AND id <> ?
		AND (day < ? OR day > ? AND day <= ? AND gun = ? AND gun_name = ?)`,
		at.pitcherID, at.day, max(usual, spread), but, usual, at.day, spread, at.gun, at.gunName)
}

// lookBackQuery finds the day from which on usualOf others, a bullpen itself left out, stand
// between it and the spot for what she usually throws, and the last day on which fewer do
// for how much readings differ; empty where there are not so many.
const lookBackQuery = `SELECT
	coalesce((SELECT day FROM bullpens INDEXED BY bullpens_by_pitcher WHERE pitcher_id = ? AND day > ? AND id <> ? AND usual IS NOT NULL
		ORDER BY day, created, id LIMIT 1 OFFSET ?), ''),
	coalesce((SELECT day FROM bullpens INDEXED BY bullpens_by_pitcher WHERE pitcher_id = ? AND day > ? AND id <> ? AND gun = ? AND gun_name = ? AND readings > 0
		ORDER BY day, created, id LIMIT 1 OFFSET ?), '')`

// touchAfterIt does so for the bullpens that look back on one.
func (t *tx) touchAfterIt(bullpenID string) error {
	var at spot
	if err := t.QueryRow(`SELECT pitcher_id, day, gun, gun_name FROM bullpens WHERE id = ?`, bullpenID).Scan(&at.pitcherID, &at.day, &at.gun, &at.gunName); err != nil {
		return one(err, "bullpen")
	}
	return t.touchAfter(at, bullpenID)
}
