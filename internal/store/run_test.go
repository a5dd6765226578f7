package store

import (
	"testing"

	"tenoff/internal/bullpen"
)

// A run changes and logs all of its reps or none, and logs them once.
func TestEnter(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	b := pen(t, s, "Kit", "2026-04-11")
	first := add(t, s, unmarked(b, bullpen.Fastball, 55))
	_, seen, err := s.Bullpen(ctx, b.ID)
	if err != nil {
		t.Fatal(err)
	}
	with := first
	with.Reading = unmarked(b, bullpen.Fastball, 56).Reading
	stale := with
	stale.Version++
	fresh := []bullpen.Rep{unmarked(b, bullpen.ChangeUp, 47), unmarked(b, bullpen.Fastball, 54)}
	count := func() int {
		t.Helper()
		reps, err := s.Reps(ctx, b.ID)
		if err != nil {
			t.Fatal(err)
		}
		return len(reps)
	}
	for name, run := range map[string]Run{
		"a rep that has changed":  {BullpenID: b.ID, Saved: []bullpen.Rep{stale}, New: fresh, Key: "k"},
		"a bullpen that moved on": {BullpenID: b.ID, Saved: []bullpen.Rep{with}, New: fresh, Key: "k", Seen: seen - 1},
	} {
		_, _, err := s.Enter(ctx, run)
		wantCode(t, err, bullpen.Conflict)
		if n := count(); n != 1 {
			t.Errorf("%s: %d reps", name, n)
		}
	}
	run := Run{BullpenID: b.ID, Saved: []bullpen.Rep{with}, New: fresh, Key: "k", Seen: seen}
	logged, revision, err := s.Enter(ctx, run)
	if err != nil || len(logged) != 2 || revision <= seen {
		t.Fatal(logged, revision, err)
	}
	reps, err := s.Reps(ctx, b.ID)
	if err != nil || len(reps) != 3 || reps[0].Reading.Value != 56 || reps[1].ID != logged[0] || reps[2].ID != logged[1] || reps[2].Order != 3 {
		t.Errorf("%+v, %v", reps, err)
	}
	again, at, err := s.Enter(ctx, run)
	same(t, again, logged, err)
	if at != revision || count() != 3 {
		t.Errorf("again: revision %d, %d reps", at, count())
	}
	_, _, err = s.Enter(ctx, Run{BullpenID: "nope", New: fresh})
	wantCode(t, err, bullpen.NotFound)
}

// In a homework's bullpen a rep of a run stays the pitch it is logged as, wherever it
// lies, and one that is what its place says goes on following it.
func TestEnterKeepsPitches(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	h := assigned(t, s)
	run := Run{BullpenID: h.BullpenID}
	said := []bullpen.Pitch{bullpen.Fastball, bullpen.Drop, bullpen.ChangeUp, bullpen.Fastball, bullpen.Fastball, bullpen.Fastball}
	for _, p := range said {
		run.New = append(run.New, unmarked(bullpen.Bullpen{ID: h.BullpenID}, p, 50))
	}
	logged, _, err := s.Enter(ctx, run)
	if err != nil {
		t.Fatal(err)
	}
	check := func(what string, want []bullpen.Pitch) {
		t.Helper()
		reps, err := s.Reps(ctx, h.BullpenID)
		var got []bullpen.Pitch
		for _, r := range reps {
			got = append(got, r.Pitch)
		}
		same(t, got, want, err)
		if reps[0].Drill != "Wrist snap" || reps[0].Set != 1 {
			t.Errorf("%s: the first lies nowhere: %+v", what, reps[0])
		}
	}
	check("as said", said)
	if _, _, err := s.Shift(ctx, logged[2], -1); err != nil {
		t.Fatal(err)
	}
	check("one place on", []bullpen.Pitch{bullpen.Fastball, bullpen.Drop, bullpen.Fastball, bullpen.ChangeUp, bullpen.Fastball, bullpen.Fastball})
}
