package store

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"tenoff/internal/bullpen"
)

// throwsQuery packs what is the same in many reps into one column, so that a
// pitcher's whole history costs five columns a rep and not twenty: crossing from
// SQLite into Go is what takes the time.
const throwsQuery = `SELECT r.id, r.bullpen_id, r.place, r.reading,
		concat_ws(char(31), r.pitch, r.unit, r.step, r.gun, r.called, r.warm_up, r.drill)
	FROM reps r INDEXED BY reps_by_pitcher
	WHERE r.pitcher_id = ? AND r.deleted = 0 AND r.academy_id = ? ORDER BY r.day, r.bullpen_id, r.place, r.id`

// PitcherThrows lists all of a pitcher's reps by bullpen, earliest first, with what
// numbers over weeks hang on: order, pitch, reading, drill, call, warm-up. Marks,
// notes, set and number, film and version are left out; see PitcherReps for those.
func (s *Store) PitcherThrows(ctx context.Context, pitcherID string) ([]bullpen.Rep, error) {
	rows, err := s.read.QueryContext(ctx, throwsQuery, pitcherID, s.academy)
	if err != nil {
		return nil, explain(err)
	}
	defer rows.Close()
	alike := map[string]bullpen.Rep{}
	var out []bullpen.Rep
	for rows.Next() {
		var id, bullpenID, packed string
		var order int
		var value *float64
		if err := rows.Scan(&id, &bullpenID, &order, &value, &packed); err != nil {
			return nil, err
		}
		r, known := alike[packed]
		if !known {
			if r, err = unpackThrow(packed); err != nil {
				return nil, err
			}
			alike[packed] = r
		}
		if n := len(out); n > 0 && out[n-1].BullpenID == bullpenID {
			bullpenID = out[n-1].BullpenID // one copy of it is enough
		}
		r.ID, r.BullpenID, r.Order = id, bullpenID, order
		if value == nil {
			r.Reading = nil
		} else {
			read := *r.Reading
			read.Value = *value
			r.Reading = &read
		}
		out = append(out, r)
	}
	return out, explain(rows.Err())
}

// unpackThrow reads the packed column. A drill may hold anything and comes last.
func unpackThrow(packed string) (bullpen.Rep, error) {
	part := strings.SplitN(packed, "\x1f", 7)
	if len(part) != 7 {
		return bullpen.Rep{}, fmt.Errorf("a packed rep of %d parts", len(part))
	}
	step, err := strconv.ParseFloat(part[2], 64)
	return bullpen.Rep{
		Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: bullpen.Unmarked,
		Pitch:   bullpen.Pitch(part[0]),
		Reading: &bullpen.Reading{Unit: bullpen.Unit(part[1]), Step: step, Gun: bullpen.GunPlace(part[3])},
		Call:    bullpen.Call(part[4]), WarmUp: part[5] == "1", Drill: part[6],
	}, err
}
