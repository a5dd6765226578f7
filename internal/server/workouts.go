package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
	"tenoff/internal/trust"
)

func (s *Server) workoutRoutes() {
	serve(s, op("listDrills", http.MethodGet, "/api/drills", "The instructor's drills"), s.listDrills)
	serve(s, op("addDrill", http.MethodPost, "/api/drills", "Add a drill"), s.addDrill)
	serve(s, op("editDrill", http.MethodPatch, "/api/drills/{id}", "Change a drill; what was handed out stays as it was"), s.editDrill)
	serve(s, op("removeDrill", http.MethodDelete, "/api/drills/{id}", "Remove a drill; what was handed out keeps it"), s.removeDrill)
	serve(s, op("listWorkouts", http.MethodGet, "/api/workouts", "Workouts to hand out"), s.listWorkouts)
	serve(s, op("addWorkout", http.MethodPost, "/api/workouts", "Write a workout"), s.addWorkout)
	serve(s, op("getWorkout", http.MethodGet, "/api/workouts/{id}", "One workout"), s.getWorkout)
	serve(s, op("editWorkout", http.MethodPut, "/api/workouts/{id}", "Write a workout anew; what was handed out stays as it was"), s.editWorkout)
	serve(s, op("removeWorkout", http.MethodDelete, "/api/workouts/{id}", "Remove a workout; what was handed out keeps it"), s.removeWorkout)
}

func (s *Server) listDrills(ctx context.Context, _ *struct{}) (wire.DrillList, error) {
	drills, err := s.deps.Store.Drills(ctx)
	return wire.DrillList{Drills: drillsOf(drills)}, err
}

func drillsOf(drills []bullpen.Drill) []wire.Drill {
	out := make([]wire.Drill, len(drills))
	for i, d := range drills {
		out[i] = wire.DrillOf(d)
	}
	return out
}

func (s *Server) addDrill(ctx context.Context, in *sent[wire.NewDrill]) (wire.Drill, error) {
	d := bullpen.Drill{Name: in.Body.Name, HowTo: in.Body.HowTo, ClipID: in.Body.ClipID}
	if err := d.Check(); err != nil {
		return wire.Drill{}, err
	}
	d, err := s.deps.Store.AddDrill(ctx, d)
	return wire.DrillOf(d), err
}

func (s *Server) editDrill(ctx context.Context, in *to[wire.DrillEdit]) (wire.Drill, error) {
	d, err := s.deps.Store.Drill(ctx, in.ID)
	if err != nil {
		return wire.Drill{}, err
	}
	in.Body.Onto(&d)
	if err := d.Check(); err != nil {
		return wire.Drill{}, err
	}
	d, err = s.deps.Store.SaveDrill(ctx, d)
	return wire.DrillOf(d), err
}

func (s *Server) removeDrill(ctx context.Context, in *byID) (wire.DrillList, error) {
	if err := s.deps.Store.RemoveDrill(ctx, in.ID); err != nil {
		return wire.DrillList{}, err
	}
	return s.listDrills(ctx, nil)
}

func (s *Server) listWorkouts(ctx context.Context, _ *struct{}) (wire.WorkoutList, error) {
	list, err := s.deps.Store.Workouts(ctx)
	out := wire.WorkoutList{Workouts: make([]wire.Workout, len(list)), Caution: trust.Caution}
	for i, w := range list {
		out.Workouts[i] = workoutOf(w)
	}
	return out, err
}

func workoutOf(w store.Workout) wire.Workout {
	return wire.Workout{ID: w.ID, Version: w.Version, WorkoutText: wire.WorkoutTextOf(w.Workout), Reps: w.Reps()}
}

func (s *Server) addWorkout(ctx context.Context, in *sent[wire.WorkoutText]) (wire.Workout, error) {
	text := in.Body.Workout()
	if err := text.Check(); err != nil {
		return wire.Workout{}, err
	}
	w, err := s.deps.Store.AddWorkout(ctx, text)
	return workoutOf(w), err
}

func (s *Server) getWorkout(ctx context.Context, in *byID) (wire.Workout, error) {
	w, err := s.deps.Store.Workout(ctx, in.ID)
	return workoutOf(w), err
}

func (s *Server) editWorkout(ctx context.Context, in *to[wire.WorkoutEdit]) (wire.Workout, error) {
	w := store.Workout{ID: in.ID, Version: in.Body.Version, Workout: in.Body.Workout()}
	if err := w.Check(); err != nil {
		return wire.Workout{}, err
	}
	w, err := s.deps.Store.SaveWorkout(ctx, w)
	return workoutOf(w), err
}

func (s *Server) removeWorkout(ctx context.Context, in *byID) (wire.WorkoutList, error) {
	if err := s.deps.Store.RemoveWorkout(ctx, in.ID); err != nil {
		return wire.WorkoutList{}, err
	}
	return s.listWorkouts(ctx, nil)
}
