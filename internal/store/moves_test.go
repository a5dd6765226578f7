package store

import (
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// All that is a pitcher's goes with her, all that is not stays, and both instructors are
// told. Tables that name an academy are one or the other: a new one has to be said here.
func TestMovePitcher(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	if err := s.SetOwner(ctx, "Robin", "x"); err != nil {
		t.Fatal(err)
	}
	sam, err := s.AddAccount(ctx, "Sam", "x")
	if err != nil {
		t.Fatal(err)
	}
	b := pen(t, s, "Kit", "2026-04-11")
	stays := pen(t, s, "Mo", "2026-04-11")
	f := ready(t, s, b, "IMG_1.mov", 90, 0)
	r := add(t, s, marked(f, 20, bullpen.Fastball))
	finished(t, s, b, r.ID, "")
	if _, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: b.PitcherID, Guardian: "her mother", Given: "2026-04-01", Covers: "films"}); err != nil {
		t.Fatal(err)
	}
	job, err := s.AddJob(ctx, NewJob{Kind: "read", Subject: f.ID, BullpenID: b.ID})
	if err != nil {
		t.Fatal(err)
	}
	if _, ok, err := s.ClaimJob(ctx, []string{"read"}, 1e9); !ok || err != nil {
		t.Fatal(ok, err)
	}
	wantCode(t, s.MovePitcher(ctx, b.PitcherID, 0, sam.ID), bullpen.Conflict) // it is being worked at
	if err := s.EndJob(ctx, job.ID, 1, JobDone, ""); err != nil {
		t.Fatal(err)
	}
	wantCode(t, s.MovePitcher(ctx, "nobody", 0, sam.ID), bullpen.NotFound)
	wantCode(t, s.MovePitcher(ctx, b.PitcherID, 0, "nobody"), bullpen.NotFound)
	wantCode(t, s.MovePitcher(Within(ctx, sam.Academy), b.PitcherID, 0, sam.ID), bullpen.NotFound) // not hers to give
	wantCode(t, s.MovePitcher(ctx, b.PitcherID, 99, sam.ID), bullpen.Conflict)
	if err := s.MovePitcher(ctx, b.PitcherID, 0, sam.ID); err != nil {
		t.Fatal(err)
	}
	_, err = s.Pitcher(ctx, b.PitcherID)
	wantCode(t, err, bullpen.NotFound)
	_, err = s.Rep(ctx, r.ID)
	wantCode(t, err, bullpen.NotFound)
	in := Within(ctx, sam.Academy)
	if her, err := s.Pitcher(in, b.PitcherID); err != nil || her.Label != "Kit" {
		t.Errorf("with Sam: %+v, %v", her, err)
	}
	if reps, err := s.Reps(in, b.ID); err != nil || len(reps) != 1 {
		t.Errorf("her reps: %v, %v", reps, err)
	}
	if consents, err := s.Consents(in, b.PitcherID); err != nil || len(consents) != 1 {
		t.Errorf("her consents: %v, %v", consents, err)
	}
	if _, _, err := s.Bullpen(ctx, stays.ID); err != nil {
		t.Errorf("Mo went too: %v", err)
	}
	for who, want := range map[string]Move{"": {Label: "Kit", Other: "Sam"}, sam.Academy: {Label: "Kit", Other: "Robin", Came: true}} {
		within := ctx
		if who != "" {
			within = Within(ctx, who)
		}
		told, err := s.Moves(within)
		if err != nil || len(told) != 1 || told[0].Label != want.Label || told[0].Other != want.Other || told[0].Came != want.Came {
			t.Fatalf("%q is told %+v, %v", who, told, err)
		}
		if who != "" {
			wantCode(t, s.ForgetMove(ctx, told[0].ID), bullpen.NotFound) // another's
		}
		if err := s.ForgetMove(within, told[0].ID); err != nil {
			t.Error(err)
		}
	}
	goesOrStays(t, s, s.First(), b.PitcherID)
}

// goesOrStays fails for a table that names an academy and is in neither list, and for rows of
// hers that were left behind.
func goesOrStays(t *testing.T, s *Store, left, pitcherID string) {
	t.Helper()
	stays := []string{"levels", "settings", "workouts", "drills", "accounts", "sessions", "spent", "moves", "turns"}
	var names []string
	if s.Ours() {
		found, err := all(t.Context(), s.read, text, `SELECT m.name FROM sqlite_schema m JOIN pragma_table_info(m.name) c WHERE m.type = 'table' AND c.name = 'academy_id'`)
		if err != nil {
			t.Fatal(err)
		}
		names = found
	}
	goes := " "
	for _, of := range hers {
		goes += of.table + " "
	}
	for _, name := range names {
		is := 0
		for _, n := range stays {
			if n == name {
				is++
			}
		}
		if strings.Contains(goes, " "+name+" ") {
			is++
		}
		if is != 1 {
			t.Errorf("does %s go with a pitcher, or does it stay?", name)
		}
	}
	for _, of := range hers {
		var n int
		if err := s.read.QueryRow(`SELECT count(*) FROM `+of.table+` WHERE academy_id = ?1 AND (`+of.which+`)`, left, pitcherID).Scan(&n); err != nil || n > 0 {
			t.Errorf("%d rows of %s were left behind, %v", n, of.table, err)
		}
	}
}
