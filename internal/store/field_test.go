package store

import (
	"fmt"
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
	if s.Ours() { // a copy of the file
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
	}

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

// typed is an entry of a bullpen's pitcher and day.
func typed(b bullpen.Bullpen, id string, revision int64, value float64) bullpen.FieldEntry {
	return bullpen.FieldEntry{ID: id, PitcherID: b.PitcherID, Day: b.Day, At: 1, Revision: revision, Pitch: bullpen.ChangeUp, Reading: bullpen.TypedReading{Value: value, Unit: bullpen.MPH}}
}

// tell keeps an entry and returns why it is not taken.
func tell(t *testing.T, s *Store, e bullpen.FieldEntry) string {
	t.Helper()
	refused, err := s.KeepEntries(t.Context(), []bullpen.FieldEntry{e})
	if err != nil {
		t.Fatal(err)
	}
	return refused[e.ID]
}

// joined logs a rep of an entry.
func joined(t *testing.T, s *Store, b bullpen.Bullpen, id string) bullpen.Rep {
	t.Helper()
	r := unmarked(b, bullpen.ChangeUp, 44)
	if _, err := s.JoinEntries(t.Context(), b.ID, revisionOf(t, s, b.ID), []FieldPair{{EntryID: id, Rep: r}}); err != nil {
		t.Fatal(err)
	}
	reps, err := s.Reps(t.Context(), b.ID)
	if err != nil || len(reps) == 0 {
		t.Fatal(len(reps), err)
	}
	return reps[len(reps)-1]
}

// A correction that comes when its reading is a rep's, or was set aside, is not taken
// silently; what was told before is told again without a word.
func TestLateCorrectionIsRefused(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	for _, id := range []string{"one", "two"} {
		if why := tell(t, s, typed(b, id, 1, 44)); why != "" {
			t.Fatal(why)
		}
	}
	joined(t, s, b, "one")
	if err := s.SetAside(t.Context(), b.ID, []string{"two"}, false); err != nil {
		t.Fatal(err)
	}
	for id, want := range map[string]string{
		"one": "This reading is rep 1's already; change it on the laptop.",
		"two": "This reading was set aside on the laptop; take it back there before it is changed.",
	} {
		if why := tell(t, s, typed(b, id, 1, 44)); why != "" {
			t.Errorf("%s told again: %q", id, why)
		}
		if why := tell(t, s, typed(b, id, 2, 45)); why != want {
			t.Errorf("%s corrected: %q", id, why)
		}
	}
}

// A reading whose rep was taken out is free: it can be corrected, set aside and found, and
// stays when the rep is gone for good.
func TestReadingOfARepTakenOutIsFree(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	for _, id := range []string{"one", "two", "three"} {
		tell(t, s, typed(b, id, 1, 44))
		r := joined(t, s, b, id)
		if _, err := s.RemoveRep(t.Context(), r.ID, 0); err != nil {
			t.Fatal(err)
		}
	}
	if pens, err := s.BullpensWithEntries(t.Context()); err != nil || len(pens) != 1 {
		t.Errorf("%d bullpens have entries, %v", len(pens), err)
	}
	if why := tell(t, s, typed(b, "one", 2, 45)); why != "" {
		t.Errorf("corrected: %q", why)
	}
	if err := s.SetAside(t.Context(), b.ID, []string{"two"}, false); err != nil {
		t.Errorf("set aside: %v", err)
	}
	if _, err := s.PurgeReps(t.Context(), time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	left, err := s.LessonEntries(t.Context(), b)
	if err != nil || len(left) != 2 || left[0].ID != "one" || left[0].Reading.Value != 45 || left[1].ID != "three" {
		t.Errorf("%+v, %v", left, err)
	}
}

// What is there already is corrected on a full day too.
func TestFullDayTakesCorrections(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	var many []bullpen.FieldEntry
	for i := range mostEntries {
		many = append(many, typed(b, fmt.Sprint(i), 1, 44))
	}
	if refused, err := s.KeepEntries(t.Context(), many); err != nil || len(refused) != 0 {
		t.Fatal(refused, err)
	}
	if why := tell(t, s, typed(b, "7", 2, 45)); why != "" {
		t.Errorf("a correction: %q", why)
	}
	if why := tell(t, s, typed(b, "one more", 1, 44)); why == "" {
		t.Error("one more is taken")
	}
}

// A bullpen that goes leaves what waits to another; a pitcher who goes takes it along, and
// it is counted.
func TestRemovalCountsWhatWasTyped(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	waits := typed(b, "waits", 1, 44)
	waits.BullpenID = b.ID
	tell(t, s, waits)
	tell(t, s, typed(b, "rep", 1, 44))
	joined(t, s, b, "rep")
	if would, err := s.Would(t.Context(), "bullpen", b.ID); err != nil || would.Typed != 0 || would.Reps != 1 {
		t.Errorf("the bullpen would take %+v, %v", would, err)
	}
	if _, err := s.RemoveBullpen(t.Context(), b.ID, 0, Whatever); err != nil {
		t.Fatal(err)
	}
	if lessons, err := s.Lessons(t.Context()); err != nil || len(lessons) != 1 || lessons[0].Entries != 1 {
		t.Errorf("without the bullpen wait %+v, %v", lessons, err)
	}
	if would, err := s.Would(t.Context(), "pitcher", b.PitcherID); err != nil || would.Typed != 1 {
		t.Errorf("the pitcher would take %+v, %v", would, err)
	}
}

// A field link to a bullpen that became another pitcher's is closed.
func TestFieldLinkStaysWithHer(t *testing.T) {
	s := fresh(t)
	b, other := pen(t, s, "Kit", "2026-04-11"), pen(t, s, "Mo", "2026-04-11")
	if _, _, err := s.AddFieldLink(t.Context(), b.ID, time.Hour); err != nil {
		t.Fatal(err)
	}
	b.Title = "moved"
	b, _, err := s.SaveBullpen(t.Context(), b)
	if err != nil {
		t.Fatal(err)
	}
	if links, err := s.FieldLinks(t.Context()); err != nil || len(links) != 1 {
		t.Errorf("another title: %+v, %v", links, err)
	}
	b.PitcherID = other.PitcherID
	if _, _, err := s.SaveBullpen(t.Context(), b); err != nil {
		t.Fatal(err)
	}
	if links, err := s.FieldLinks(t.Context()); err != nil || len(links) != 0 {
		t.Errorf("another pitcher: %+v, %v", links, err)
	}
}
