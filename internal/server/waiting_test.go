package server

import (
	"slices"
	"testing"

	"tenoff/internal/propose"
	"tenoff/internal/server/wire"
)

func TestWaiting(t *testing.T) {
	open := func(sure bool) wire.Proposal { return wire.Proposal{State: "open", Sure: sure} }
	plan := &wire.Plan{
		Reps: []wire.WorkoutRep{{RepID: "read", Place: 0}, {RepID: "bare", Place: 1}, {RepID: "bare too", Place: 2}, {RepID: "again", Place: 2}},
	}
	reps := []wire.Rep{{ID: "read", Reading: &wire.Reading{}}, {ID: "bare"}, {ID: "bare too"}, {ID: "again", Reading: &wire.Reading{}}}
	typed := func(places ...int) *wire.Plan {
		p := *plan
		for _, at := range places {
			p.Typed = append(p.Typed, wire.PlaceReading{Place: at, Value: 50})
		}
		return &p
	}
	for _, tt := range []struct {
		name      string
		proposals []wire.Proposal
		plan      *wire.Plan
		want      []string
	}{
		{"nothing", nil, nil, nil},
		{"done with", []wire.Proposal{{State: "thrown out", Sure: true}, {State: "open", Reason: propose.Unexplained}, {State: "open", Reason: propose.WalkBack}}, typed(0), nil},
		{"found", []wire.Proposal{open(true), open(true), open(false)}, nil,
			[]string{"2 reps were found in the film and not confirmed yet, and 1 more may be one; they count in nothing until you say so."}},
		{"asked about", []wire.Proposal{open(false)}, nil, []string{"1 stretch in the film may be a rep; nobody has said yet."}},
		{"typed", nil, typed(0, 1, 2, 3), []string{"She typed 2 readings that are not put beside the reps yet.", "She typed 1 reading whose rep is not logged yet."}},
	} {
		if got := waiting(tt.proposals, tt.plan, reps); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}
