package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"

	"tenoff/internal/bullpen"
)

// WorkoutPlace is where a rep of a homework lies along its workout.
type WorkoutPlace struct {
	RepID string
	Place int // from 0, bullpen.Beyond when the workout has no place for it
	Shift int
}

// WorkoutPlaces lists where the reps of a homework's bullpen lie, as thrown, warm-ups left
// out.
func (s *Store) WorkoutPlaces(ctx context.Context, bullpenID string) ([]WorkoutPlace, error) {
	return all(ctx, s.read, func(row scanner) (l WorkoutPlace, err error) {
		return l, row.Scan(&l.RepID, &l.Place, &l.Shift)
	}, `SELECT r.id, coalesce(l.place, -1), coalesce(l.shift, 0) FROM reps r LEFT JOIN laid l ON l.rep_id = r.id
		WHERE r.bullpen_id = ? AND r.deleted = 0 AND r.warm_up = 0 AND r.academy_id = ? ORDER BY r.place, r.id`, bullpenID, s.own(ctx))
}

// Shift moves a rep, and those after it, along the workout of its homework.
func (s *Store) Shift(ctx context.Context, repID string, by int) (bullpenID string, revision int64, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		var shift int
		err := tx.QueryRow(`SELECT r.bullpen_id, l.shift FROM reps r JOIN homeworks h ON h.bullpen_id = r.bullpen_id JOIN laid l ON l.rep_id = r.id
			WHERE r.id = ? AND r.deleted = 0 AND r.warm_up = 0 AND r.academy_id = ?`, repID, tx.academy).Scan(&bullpenID, &shift)
		if err != nil {
			return one(err, "rep of a homework")
		}
		shift = max(min(shift+by, bullpen.MostReps), -bullpen.MostReps)
		if _, err := tx.Exec(`UPDATE laid SET shift = ? WHERE rep_id = ?`, shift, repID); err != nil {
			return err
		}
		if err := tx.layReps(bullpenID); err != nil {
			return err
		}
		revision, err = tx.touch(bullpenID)
		return err
	})
	return bullpenID, revision, err
}

// repInWorkout is a rep with what its place had filled in.
type repInWorkout struct {
	bullpen.Rep
	known        bool // it was laid before
	shift, place int
	set, number  int
	drill        string
	pitch        bullpen.Pitch
	typed        bullpen.TypedReading // zero for none
}

func repInWorkoutFrom(row scanner) (r repInWorkout, err error) {
	var known sql.NullString
	r.Rep, err = repFrom(row, &known, &r.shift, &r.place, &r.set, &r.number, &r.drill, &r.pitch, &r.typed.Value, &r.typed.Unit)
	r.known = known.Valid
	return r, err
}

// layReps lays the reps of a homework's bullpen along its workout and fills in set,
// number, drill, pitch and the student's readings. A field that somebody set by hand
// stays. Of a rep laid for the first time, what is not the default was set by hand.
// A bullpen without a homework is left alone.
func (t *tx) layReps(bullpenID string) error {
	h, err := onlyHomework(t.QueryRow(`SELECT `+homeworkFields+` FROM homeworks h WHERE h.bullpen_id = ?`, bullpenID))
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err != nil {
		return err
	}
	reps, err := all(t.ctx, t.Tx, repInWorkoutFrom, `SELECT `+repFields+`, l.rep_id, coalesce(l.shift, 0), coalesce(l.place, -1),
		coalesce(l.set_number, 0), coalesce(l.number, 0), coalesce(l.drill, ''), coalesce(l.pitch, 'fb'), coalesce(l.reading, 0), coalesce(l.unit, '')
		FROM reps r LEFT JOIN laid l ON l.rep_id = r.id WHERE r.bullpen_id = ? AND r.deleted = 0 AND r.warm_up = 0 ORDER BY r.place, r.id`, bullpenID)
	if err != nil {
		return err
	}
	shifts := make([]int, len(reps))
	for i, r := range reps {
		shifts[i] = r.shift
	}
	places := h.Workout.Places()
	for i, at := range bullpen.WorkoutPlaces(len(places), shifts) {
		if err := t.lay(reps[i], at, bullpen.At(places, at), h.Student); err != nil {
			return err
		}
	}
	return nil
}

// lay puts one rep on a place.
func (t *tx) lay(r repInWorkout, at int, to bullpen.Place, student bullpen.Student) error {
	now := r.Rep
	follow(&now.Set, r.set, to.Set)
	follow(&now.Number, r.number, to.Number)
	follow(&now.Drill, r.drill, to.Drill)
	follow(&now.Pitch, r.pitch, to.Pitch)
	typed := student.Readings[at] // zero for none
	if r.typed != typed && readingAs(r.Reading) == r.typed {
		now.Reading = nil
		if typed.Value > 0 {
			now.Reading = &bullpen.Reading{Value: typed.Value, Unit: typed.Unit, Step: 1, Gun: cmp.Or(student.Gun, bullpen.PlaceNotSaid)}
		}
	}
	if now != r.Rep {
		value, read := readingFields(now)
		_, err := t.Exec(`UPDATE reps SET version = version + 1, set_number = ?, number = ?, drill = ?, pitch = ?, reading = ?, unit = ?, step = ?, gun = ? WHERE id = ?`,
			now.Set, now.Number, now.Drill, now.Pitch, value, read.Unit, read.Step, read.Gun, r.ID)
		if err != nil {
			return err
		}
	}
	if r.known && r.place == at && r.set == to.Set && r.number == to.Number && r.drill == to.Drill && r.pitch == to.Pitch && r.typed == typed {
		return nil
	}
	var reading any
	if typed.Value > 0 {
		reading = typed.Value
	}
	_, err := t.Exec(`INSERT INTO laid (rep_id, academy_id, shift, place, set_number, number, drill, pitch, reading, unit) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (rep_id) DO UPDATE SET place = excluded.place, set_number = excluded.set_number, number = excluded.number,
			drill = excluded.drill, pitch = excluded.pitch, reading = excluded.reading, unit = excluded.unit`,
		r.ID, t.academy, r.shift, at, to.Set, to.Number, to.Drill, to.Pitch, reading, typed.Unit)
	return err
}

// readingAs returns a reading as the student would have typed it, zero for none.
func readingAs(r *bullpen.Reading) bullpen.TypedReading {
	if r == nil {
		return bullpen.TypedReading{}
	}
	return bullpen.TypedReading{Value: r.Value, Unit: r.Unit}
}

// follow moves a field that still has what was filled in before.
func follow[T comparable](field *T, was, to T) {
	if *field == was {
		*field = to
	}
}
