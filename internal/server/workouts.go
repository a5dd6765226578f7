package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
	"tenoff/internal/trust"
)

// workouts are what the instructor hands out.
type workouts struct{ store *store.Store }

func (l workouts) routes(s *Server) {
	serve(s, op("listWorkouts", http.MethodGet, "/api/workouts", "Workouts to hand out"), l.listWorkouts)
	serve(s, op("addWorkout", http.MethodPost, "/api/workouts", "Write a workout"), l.addWorkout)
	serve(s, op("getWorkout", http.MethodGet, "/api/workouts/{id}", "One workout"), l.getWorkout)
	serve(s, op("editWorkout", http.MethodPut, "/api/workouts/{id}", "Write a workout anew; what was handed out stays as it was"), l.editWorkout)
	serve(s, op("removeWorkout", http.MethodDelete, "/api/workouts/{id}", "Remove a workout; what was handed out keeps it"), l.removeWorkout)
}

func (l workouts) listWorkouts(ctx context.Context, _ *struct{}) (wire.WorkoutList, error) {
	list, err := l.store.Workouts(ctx)
	out := wire.WorkoutList{Workouts: make([]wire.Workout, len(list)), Starters: make([]wire.Starter, len(bullpen.StarterWorkouts)), Caution: trust.Caution}
	for i, w := range bullpen.StarterWorkouts {
		out.Starters[i] = wire.StarterOf(w)
	}
	for i, w := range list {
		out.Workouts[i] = workoutOf(w)
	}
	return out, err
}

func workoutOf(w store.Workout) wire.Workout {
	return wire.Workout{ID: w.ID, Version: w.Version, WorkoutText: wire.WorkoutTextOf(w.Workout), Reps: w.Reps()}
}

func (l workouts) addWorkout(ctx context.Context, in *sent[wire.WorkoutText]) (wire.Workout, error) {
	text := in.Body.Workout()
	if err := text.Check(); err != nil {
		return wire.Workout{}, err
	}
	w, err := l.store.AddWorkout(ctx, text)
	return workoutOf(w), err
}

func (l workouts) getWorkout(ctx context.Context, in *byID) (wire.Workout, error) {
	w, err := l.store.Workout(ctx, in.ID)
	return workoutOf(w), err
}

func (l workouts) editWorkout(ctx context.Context, in *to[wire.WorkoutEdit]) (wire.Workout, error) {
	w := store.Workout{ID: in.ID, Version: in.Body.Version, Workout: in.Body.Workout()}
	if err := w.Check(); err != nil {
		return wire.Workout{}, err
	}
	w, err := l.store.SaveWorkout(ctx, w)
	return workoutOf(w), err
}

func (l workouts) removeWorkout(ctx context.Context, in *byID) (wire.WorkoutList, error) {
	if err := l.store.RemoveWorkout(ctx, in.ID); err != nil {
		return wire.WorkoutList{}, err
	}
	return l.listWorkouts(ctx, nil)
}
