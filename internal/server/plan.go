package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func (s *Server) planRoutes() {
	serve(s, answering(http.StatusOK, op("shiftRep", http.MethodPost, "/api/reps/{id}/shift", "Move a rep of a homework, and those after it, along the workout")), s.shiftRep)
}

// laid returns a bullpen's homework and where its reps lie along the workout; ok is false
// without a homework.
func (s *Server) laid(ctx context.Context, bullpenID string) (h bullpen.Homework, laid []store.WorkoutPlace, ok bool, err error) {
	if h, ok, err = s.deps.Store.HomeworkOf(ctx, bullpenID); err == nil && ok {
		laid, err = s.deps.Store.WorkoutPlaces(ctx, bullpenID)
	}
	return h, laid, ok, err
}

// plan returns where the reps of a homework's bullpen lie, nil for any other
// bullpen.
func (s *Server) plan(ctx context.Context, bullpenID string) (*wire.Plan, error) {
	h, laid, ok, err := s.laid(ctx, bullpenID)
	if err != nil || !ok {
		return nil, err
	}
	workout := wire.HandedWorkoutOf(h.Workout)
	out := &wire.Plan{HomeworkID: h.ID, State: h.State(s.today()), Title: h.Workout.Title, Places: workout.Places, Reps: make([]wire.WorkoutRep, len(laid)), Typed: placeReadingsOf(h.Student)}
	shifts := make([]int, len(laid)+1) // the last for the rep to come
	for i, l := range laid {
		out.Reps[i] = wire.WorkoutRep(l)
		shifts[i] = l.Shift
	}
	at := bullpen.WorkoutPlaces(len(out.Places), shifts)
	out.Next = at[len(at)-1]
	return out, nil
}

// placesAhead returns the places of the next n reps of a homework's bullpen, nil for any other
// bullpen.
func (s *Server) placesAhead(ctx context.Context, bullpenID string, n int) ([]bullpen.Place, error) {
	h, laid, ok, err := s.laid(ctx, bullpenID)
	if err != nil || !ok {
		return nil, err
	}
	shifts := make([]int, len(laid))
	for i, l := range laid {
		shifts[i] = l.Shift
	}
	return h.Workout.Ahead(shifts, n), nil
}

func (s *Server) shiftRep(ctx context.Context, in *to[wire.ShiftRep]) (wire.PlanChange, error) {
	bullpenID, revision, err := s.deps.Store.Shift(ctx, in.ID, in.Body.By)
	if err != nil {
		return wire.PlanChange{}, err
	}
	plan, err := s.plan(ctx, bullpenID)
	if err != nil {
		return wire.PlanChange{}, err
	}
	return wire.PlanChange{Plan: *plan, Revision: revision}, nil
}
