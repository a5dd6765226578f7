package store

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"tenoff/internal/bullpen"
)

// RepFilter says which reps of all bullpens are wanted; empty fields want any.
type RepFilter struct {
	PitcherID string
	Pitch     bullpen.Pitch
	From, To  string // days, both included
	// Verdict finds reps by the verdict that is stored, see Unjudged.
	Verdict bullpen.Verdict
}

// RepRow is a rep in a list across bullpens.
type RepRow struct {
	bullpen.Rep
	Day, PitcherID, PitcherLabel, BullpenTitle string
	begun                                      int64
}

// Cursor is where the list goes on behind this rep.
func (r RepRow) Cursor() string {
	return fmt.Sprintf("%s %d %s %d %s", r.Day, r.begun, r.BullpenID, r.Order, r.ID)
}

// FindReps lists reps across bullpens, latest first, with the next page's cursor.
func (s *Store) FindReps(ctx context.Context, f RepFilter, page Page) ([]RepRow, string, error) {
	query, args, err := findReps(s.own(ctx), f, page)
	if err != nil {
		return nil, "", err
	}
	rows, err := all(ctx, s.read, func(row scanner) (r RepRow, err error) {
		r.Rep, err = repFrom(row, &r.Day, &r.begun, &r.PitcherID, &r.PitcherLabel, &r.BullpenTitle)
		return r, err
	}, query, args...)
	next := ""
	if limit := page.limit(); len(rows) > limit {
		rows = rows[:limit]
		next = rows[limit-1].Cursor()
	}
	return rows, next, err
}

func findReps(academy string, f RepFilter, page Page) (string, []any, error) {
	where, args := []string{`r.deleted = 0`, `r.academy_id = ?`}, []any{academy}
	also := func(cond string, values ...any) {
		where = append(where, cond)
		args = append(args, values...)
	}
	if f.PitcherID != "" {
		also(`r.pitcher_id = ?`, f.PitcherID)
	}
	if f.Pitch != "" {
		also(`r.pitch = ?`, f.Pitch)
	}
	if f.Verdict != "" {
		also(`r.verdict = ?`, f.Verdict)
		also(`r.verdict <> ''`) // or the index is not used
	}
	if f.From != "" {
		also(`r.day >= ?`, f.From)
	}
	if f.To != "" {
		also(`r.day <= ?`, f.To)
	}
	if page.Cursor != "" {
		part := strings.Split(page.Cursor, " ")
		if len(part) != 5 {
			return "", nil, errCursor
		}
		begun, err := strconv.ParseInt(part[1], 10, 64)
		if err != nil {
			return "", nil, errCursor
		}
		place, err := strconv.Atoi(part[3])
		if err != nil {
			return "", nil, errCursor
		}
		also(`(r.day, r.begun, r.bullpen_id, r.place, r.id) < (?, ?, ?, ?, ?)`, part[0], begun, part[2], place, part[4])
	}
	index := "reps_by_day"
	switch {
	case f.Verdict != "" && f.PitcherID == "":
		index = "reps_by_verdict"
	case f.PitcherID != "" && f.Pitch != "":
		index = "reps_by_pitcher_pitch"
	case f.PitcherID != "":
		index = "reps_by_pitcher"
	case f.Pitch != "":
		index = "reps_by_pitch"
	}
	// Left alone, SQLite takes any index that begins with the academy; and without
	// CROSS JOIN it may begin with another table and sort a million reps afterwards.
	return `SELECT ` + repFields + `, r.day, r.begun, r.pitcher_id, p.label, b.title FROM reps r INDEXED BY ` + index + `
		CROSS JOIN bullpens b ON b.id = r.bullpen_id CROSS JOIN pitchers p ON p.id = r.pitcher_id
		WHERE ` + strings.Join(where, ` AND `) + `
		ORDER BY r.day DESC, r.begun DESC, r.bullpen_id DESC, r.place DESC, r.id DESC LIMIT ?`, append(args, page.limit()+1), nil
}

// PitcherReps lists all of a pitcher's reps by bullpen, earliest first.
func (s *Store) PitcherReps(ctx context.Context, pitcherID string) ([]bullpen.Rep, error) {
	return all(ctx, s.read, onlyRep, pitcherRepsQuery, pitcherID, s.own(ctx))
}

const pitcherRepsQuery = `SELECT ` + repFields + ` FROM reps r INDEXED BY reps_by_pitcher
	WHERE r.pitcher_id = ? AND r.deleted = 0 AND r.academy_id = ? ORDER BY r.day, r.begun, r.bullpen_id, r.place, r.id`

// ThrowDay is how much a pitcher threw on one day.
type ThrowDay struct {
	Day          string
	Reps, WarmUp int
}

// ThrowDays lists the days on which a pitcher threw, earliest first.
func (s *Store) ThrowDays(ctx context.Context, pitcherID string) ([]ThrowDay, error) {
	return all(ctx, s.read, func(row scanner) (d ThrowDay, err error) {
		return d, row.Scan(&d.Day, &d.Reps, &d.WarmUp)
	}, throwDaysQuery, pitcherID, s.own(ctx))
}

const throwDaysQuery = `SELECT day, sum(reps), sum(warm_ups) FROM bullpens WHERE pitcher_id = ? AND academy_id = ?
	GROUP BY day HAVING sum(reps) > 0 ORDER BY day`
