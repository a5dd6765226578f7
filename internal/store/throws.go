package store

import (
	"context"
	"fmt"
	"strings"

	"tenoff/internal/bullpen"
)

// between is what stands between the words that throwsQuery packs.
const between = "\x1f"

// throwsQuery packs the words that are the same in many reps into one column, so
// that a pitcher's whole history costs six columns a rep and not twenty: crossing
// from SQLite into Go is what takes the time.
const throwsQuery = `SELECT r.id, r.bullpen_id, r.place, r.reading, r.step,
		concat_ws('` + between + `', r.pitch, r.unit, r.gun, r.called, r.warm_up, r.sure, r.drill)
	FROM reps r INDEXED BY reps_by_pitcher
	WHERE r.pitcher_id = ? AND r.deleted = 0 AND r.academy_id = ? ORDER BY r.day, r.begun, r.bullpen_id, r.place, r.id`

// PitcherThrows lists all of a pitcher's reps by bullpen, earliest first, with what
// numbers over weeks hang on: order, pitch, reading, drill, call, warm-up, and whether the reading was said to be right. Marks,
// notes, set and number, film and version are left out; see PitcherReps for those.
func (s *Store) PitcherThrows(ctx context.Context, pitcherID string) ([]bullpen.Rep, error) {
	var about int
	err := s.read.QueryRowContext(ctx, `SELECT coalesce(sum(reps), 0) FROM bullpens WHERE pitcher_id = ?`, pitcherID).Scan(&about)
	if err != nil {
		return nil, explain(err)
	}
	rows, err := s.read.QueryContext(ctx, throwsQuery, pitcherID, s.own(ctx))
	if err != nil {
		return nil, explain(err)
	}
	defer rows.Close()
	out, readings := make([]bullpen.Rep, 0, about), make([]bullpen.Reading, 0, about)
	alike := map[string]bullpen.Rep{}
	for rows.Next() {
		var id, bullpenID, words string
		var order int
		var value *float64
		var step float64
		if err := rows.Scan(&id, &bullpenID, &order, &value, &step, &words); err != nil {
			return nil, err
		}
		r, known := alike[words]
		if !known {
			if r, err = unpackThrow(words); err != nil {
				return nil, err
			}
			alike[words] = r
		}
		if n := len(out); n > 0 && out[n-1].BullpenID == bullpenID {
			bullpenID = out[n-1].BullpenID // one copy of it is enough
		}
		r.ID, r.BullpenID, r.Order = id, bullpenID, order
		if value == nil {
			r.Reading = nil
		} else {
			readings = append(readings, bullpen.Reading{Value: *value, Unit: r.Reading.Unit, Step: step, Gun: r.Reading.Gun})
			r.Reading = &readings[len(readings)-1]
		}
		out = append(out, r)
	}
	return out, explain(rows.Err())
}

// unpackThrow reads the packed column. A drill may hold anything and comes last.
func unpackThrow(words string) (bullpen.Rep, error) {
	part := strings.SplitN(words, between, 7)
	if len(part) != 7 {
		return bullpen.Rep{}, fmt.Errorf("a packed rep of %d parts", len(part))
	}
	return bullpen.Rep{
		Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: bullpen.Unmarked,
		Pitch:   bullpen.Pitch(part[0]),
		Reading: &bullpen.Reading{Unit: bullpen.Unit(part[1]), Gun: bullpen.GunPlace(part[2])},
		Call:    bullpen.Call(part[3]), WarmUp: part[4] == "1", Sure: part[5] == "1", Drill: part[6],
	}, nil
}
