package store

import (
	"bytes"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// herName is in everything that is known of her.
const herName = "Zephyrine"

// holding lists the files under dir that have a word in them.
func holding(t *testing.T, dir, word string) (names []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if n := bytes.Count(data, []byte(word)); n > 0 {
			names = append(names, fmt.Sprintf("%s (%d times)", d.Name(), n))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// TestNothingIsLeftOfHer fills pages with two pitchers' rows, changes and removes some,
// and deletes one of the two. Then her name is in no file, while the store is open and
// when it is closed.
func TestNothingIsLeftOfHer(t *testing.T) {
	dir := t.TempDir()
	s := at(t, dir)
	her, other := pen(t, s, herName, "2026-04-11"), pen(t, s, "Mo", "2026-04-12")
	film := ready(t, s, her, herName+" bullpen.mov", 100, 0)
	j, err := s.AddJob(t.Context(), NewJob{Kind: "read film", Subject: film.ID, BullpenID: her.ID, Payload: "{}"})
	if err != nil {
		t.Fatal(err)
	}
	if j, _, err = s.ClaimJob(t.Context(), []string{"read film"}, time.Minute); err != nil {
		t.Fatal(err)
	}
	if err := s.EndJob(t.Context(), j.ID, j.Claim, JobFailed, "“"+herName+" bullpen.mov” is damaged.", 0); err != nil {
		t.Fatal(err)
	}
	dice := rand.New(rand.NewPCG(3, 3))
	var reps []bullpen.Rep
	for i := range 500 {
		r := unmarked([]bullpen.Bullpen{her, other}[i%2], bullpen.ChangeUp, 45)
		r.Note = fmt.Sprintf("%d: %s", i, bytes.Repeat([]byte("low and away "), dice.IntN([]int{2, 20, 150}[dice.IntN(3)])))
		if i%2 == 0 {
			r.Note = herName + " " + r.Note
		}
		reps = append(reps, add(t, s, r))
		if i%3 == 0 {
			k := dice.IntN(len(reps))
			reps[k].Note += " once more, and longer than it was"
			if reps[k], _, err = s.SaveRep(t.Context(), reps[k]); err != nil {
				t.Fatal(err)
			}
		}
		if i%7 == 0 {
			k := dice.IntN(len(reps))
			if _, err := s.RemoveRep(t.Context(), reps[k].ID, reps[k].Version); err != nil {
				t.Fatal(err)
			}
			reps = append(reps[:k], reps[k+1:]...)
		}
	}
	if err := s.CopyTo(t.Context(), filepath.Join(dir, fmt.Sprintf(copyOf, 9))); err != nil {
		t.Fatal(err)
	}
	if got := holding(t, dir, herName); len(got) < 2 {
		t.Fatalf("her name is only in %v: this test shows nothing", got)
	}
	if _, err := s.RemovePitcher(t.Context(), her.PitcherID, 0, Whatever); err != nil {
		t.Fatal(err)
	}
	if err := s.Clean(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got := holding(t, dir, herName); len(got) > 0 {
		t.Errorf("left in %v", got)
	}
	if reps, err := s.Reps(t.Context(), other.ID); err != nil || len(reps) < 50 {
		t.Errorf("the other one has %d reps, %v", len(reps), err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if got := holding(t, dir, herName); len(got) > 0 {
		t.Errorf("left in %v when it is closed", got)
	}
}

// A deletion that the program had no time to clean up after is cleaned up the next time,
// and nothing is rewritten when there was none.
func TestCleaningIsMadeUpFor(t *testing.T) {
	dir := t.TempDir()
	s := at(t, dir)
	her := pen(t, s, herName, "2026-04-11")
	if _, err := s.RemovePitcher(t.Context(), her.PitcherID, 0, Whatever); err != nil {
		t.Fatal(err)
	}
	if got := holding(t, dir, herName); len(got) == 0 {
		t.Fatal("her name went without cleaning: this test shows nothing")
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = at(t, dir)
	for range 2 {
		if err := s.Clean(t.Context()); err != nil {
			t.Fatal(err)
		}
		if s.due() != (debts{}) {
			t.Error("cleaning is still due")
		}
	}
	if got := holding(t, dir, herName); len(got) > 0 {
		t.Errorf("left in %v", got)
	}
}

// Copies from before a step of the schema are kept for a week.
func TestCopiesAreKeptForAWeek(t *testing.T) {
	s := fresh(t)
	young, old := filepath.Join(s.dir, fmt.Sprintf(copyOf, 9)), filepath.Join(s.dir, fmt.Sprintf(copyOf, 8))
	hers := filepath.Join(s.dir, "before-schema-talk.db") // not ours
	for path, age := range map[string]time.Duration{young: 6, old: 8, hers: 8} {
		if err := os.WriteFile(path, []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
		then := time.Now().Add(-age * 24 * time.Hour)
		if err := os.Chtimes(path, then, then); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Clean(t.Context()); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]bool{young: true, old: false, hers: true} {
		if _, err := os.Stat(path); (err == nil) != want {
			t.Errorf("%s: %v", filepath.Base(path), err)
		}
	}
}
