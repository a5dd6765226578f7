package store

import (
	"context"
	"encoding/json"
	"fmt"

	"tenoff/internal/bullpen"
)

// Workout is a workout that can be handed out, as often as it is wanted.
type Workout struct {
	ID      string
	Version int64
	bullpen.Workout
}

func workoutFrom(row scanner) (w Workout, err error) {
	var body []byte
	if err := row.Scan(&w.ID, &w.Version, &body); err != nil {
		return w, err
	}
	if err := json.Unmarshal(body, &w.Workout); err != nil {
		return w, fmt.Errorf("workout %s: %w", w.ID, err)
	}
	return w, nil
}

// Workouts lists every workout, latest first.
func (s *Store) Workouts(ctx context.Context) ([]Workout, error) {
	return all(ctx, s.read, workoutFrom, `SELECT id, version, body FROM workouts WHERE academy_id = ? ORDER BY created DESC, id DESC`, s.own(ctx))
}

// Workout returns one workout.
func (s *Store) Workout(ctx context.Context, id string) (Workout, error) {
	w, err := workoutFrom(s.read.QueryRowContext(ctx, `SELECT id, version, body FROM workouts WHERE id = ? AND academy_id = ?`, id, s.own(ctx)))
	return w, one(err, "workout")
}

// AddWorkout stores a new workout.
func (s *Store) AddWorkout(ctx context.Context, w bullpen.Workout) (Workout, error) {
	out := Workout{ID: newID(), Version: 1, Workout: w}
	body, err := json.Marshal(w)
	if err != nil {
		return out, err
	}
	err = s.tx(ctx, func(tx *tx) error {
		_, err := tx.Exec(`INSERT INTO workouts (id, academy_id, version, created, body) VALUES (?, ?, 1, ?, ?)`, out.ID, tx.academy, tx.now, string(body))
		return err
	})
	return out, err
}

// SaveWorkout stores w if w.Version is still the current one. What was handed out
// stays as it was.
func (s *Store) SaveWorkout(ctx context.Context, w Workout) (Workout, error) {
	body, err := json.Marshal(w.Workout)
	if err != nil {
		return w, err
	}
	err = s.tx(ctx, func(tx *tx) error {
		return tx.update("workout", "workouts", w.ID, w.Version, `body = ?`, string(body))
	})
	w.Version++
	return w, err
}

// RemoveWorkout removes a workout. What was handed out keeps its copy.
func (s *Store) RemoveWorkout(ctx context.Context, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`DELETE FROM workouts WHERE id = ? AND academy_id = ?`, id, tx.academy)
		return hit(res, err, "workout")
	})
}
