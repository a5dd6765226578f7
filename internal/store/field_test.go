package store

import (
	"path/filepath"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// A link to the field page opens what it was made for, until it runs out, is revoked, or
// a backup is brought back.
func TestFieldLinks(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	l, token, err := s.AddFieldLink(t.Context(), b.ID, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	got, academy, err := s.OpenFieldLink(t.Context(), token)
	if err != nil || got.ID != l.ID || got.BullpenID != b.ID || academy != s.first {
		t.Errorf("%+v of %s, %v", got, academy, err)
	}
	if links, err := s.FieldLinks(t.Context()); err != nil || len(links) != 1 || links[0].LastUsed == 0 {
		t.Errorf("%+v, %v", links, err)
	}
	path := filepath.Join(t.TempDir(), Database)
	if err := s.CopyTo(t.Context(), path); err != nil {
		t.Fatal(err)
	}
	if _, err := CloseAllIn(t.Context(), path); err != nil {
		t.Fatal(err)
	}
	restored := again(t, filepath.Dir(path))
	_, _, err = restored.OpenFieldLink(t.Context(), token)
	wantCode(t, err, bullpen.NotFound)

	_, old, err := s.AddFieldLink(t.Context(), "", -time.Second)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.RevokeFieldLink(t.Context(), l.ID); err != nil {
		t.Fatal(err)
	}
	for what, token := range map[string]string{"run out": old, "revoked": token, "none": "", "made up": "abc"} {
		if _, _, err := s.OpenFieldLink(t.Context(), token); bullpen.CodeOf(err) != bullpen.NotFound {
			t.Errorf("%s: %v", what, err)
		}
	}
	if links, err := s.FieldLinks(t.Context()); err != nil || len(links) != 0 {
		t.Errorf("%+v, %v", links, err)
	}
}

// What was typed for a pitcher goes with her, and what became a rep's with the bullpen.
func TestEntriesGoWithWhoseTheyAre(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	entry := func(id string) bullpen.FieldEntry {
		return bullpen.FieldEntry{ID: id, PitcherID: b.PitcherID, Day: b.Day, At: 1, Revision: 1, Pitch: bullpen.ChangeUp, Reading: bullpen.TypedReading{Value: 44, Unit: bullpen.MPH}}
	}
	if _, err := s.KeepEntries(t.Context(), []bullpen.FieldEntry{entry("one"), entry("two")}); err != nil {
		t.Fatal(err)
	}
	r := bullpen.Rep{Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: bullpen.Unmarked, Pitch: bullpen.ChangeUp}
	if _, err := s.JoinEntries(t.Context(), b.ID, revisionOf(t, s, b.ID), []FieldPair{{EntryID: "one", Rep: r}}); err != nil {
		t.Fatal(err)
	}
	left := func() (n int) {
		t.Helper()
		if err := s.read.QueryRow(`SELECT count(*) FROM field_entries`).Scan(&n); err != nil {
			t.Fatal(err)
		}
		return n
	}
	if _, err := s.RemoveBullpen(t.Context(), b.ID, 0, Whatever); err != nil || left() != 1 {
		t.Errorf("without the bullpen %d entries, %v", left(), err)
	}
	if _, err := s.RemovePitcher(t.Context(), b.PitcherID, 0, Whatever); err != nil || left() != 0 {
		t.Errorf("without the pitcher %d entries, %v", left(), err)
	}
}
