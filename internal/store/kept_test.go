package store

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"tenoff/internal/bullpen"
)

// TestKeptRepsAreTheStoredOnes changes a bullpen in every way there is, by chance,
// and after each change compares what Reps answers with the rows themselves.
func TestKeptRepsAreTheStoredOnes(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	one, two := ready(t, s, b, "a.mov", 4000, 0), ready(t, s, b, "b.mov", 4000, 0)
	dice := rand.New(rand.NewPCG(7, 7))
	var gone []string
	stored := func(after string) []bullpen.Rep {
		t.Helper()
		want, err := all(t.Context(), s.read, onlyRep, ledgerQuery, b.ID, s.first)
		if err != nil {
			t.Fatal(err)
		}
		got, err := s.Reps(t.Context(), b.ID)
		same(t, got, want, err)
		if t.Failed() {
			t.Fatal("after ", after)
		}
		for i := range got { // what is handed out is the caller's
			got[i].Note = "scribbled"
			if got[i].Reading != nil {
				got[i].Reading.Value = -1
			}
		}
		return want
	}
	done := func(what string, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(what, err)
		}
		stored(what)
	}
	pick := func(of []bullpen.Rep) bullpen.Rep { return of[dice.IntN(len(of))] }
	for i := range 300 {
		reps := stored("a look")
		if len(reps) < 5 {
			add(t, s, valued(marked([]Film{one, two}[dice.IntN(2)], dice.IntN(4000), bullpen.Fastball), 50))
			continue
		}
		r := pick(reps)
		switch dice.IntN(7) {
		case 0:
			add(t, s, valued(marked(one, dice.IntN(4000), bullpen.ChangeUp), 40))
		case 1:
			add(t, s, valued(unmarked(b, bullpen.Fastball, 0), 51))
		case 2:
			r.Reading = &bullpen.Reading{Value: float64(40 + i%30), Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher}
			_, _, err := s.SaveRep(t.Context(), r)
			done("a reading", err)
		case 3:
			r.Order = 1 + dice.IntN(len(reps))
			_, _, err := s.SaveRep(t.Context(), r)
			done("another order", err)
		case 4:
			_, err := s.RemoveRep(t.Context(), r.ID, r.Version)
			gone = append(gone, r.ID)
			done("a rep taken out", err)
		case 5:
			if len(gone) > 0 {
				_, _, err := s.RestoreRep(t.Context(), gone[len(gone)-1])
				gone = gone[:len(gone)-1]
				done("a rep brought back", err)
			}
		case 6:
			other := pick(reps)
			r.Note, other.Note = fmt.Sprint(i), fmt.Sprint(i)
			if r.ID != other.ID {
				_, err := s.SaveReps(t.Context(), []bullpen.Rep{r, other})
				done("two notes", err)
			}
		}
	}
	_, err := s.RemoveFilm(t.Context(), two.ID, two.Version)
	done("a film removed", err)
	// A writer that forgets the revision, or its rows, is seen all the same.
	_, err = s.write.Exec(`UPDATE reps SET note = 'quietly' WHERE bullpen_id = ?`, b.ID)
	done("a quiet change", err)
	stored("a quiet change, again")
}

// BenchmarkReps reads a bullpen of 5,000 reps each time one has been added, and
// with nothing kept.
func BenchmarkReps(b *testing.B) {
	s := fresh(b)
	long := pen(b, s, "Kit", "2026-04-11")
	for range 5000 {
		add(b, s, valued(unmarked(long, bullpen.Fastball, 0), 52))
	}
	b.Run("one changed", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			add(b, s, valued(unmarked(long, bullpen.Fastball, 0), 52))
			b.StartTimer()
			if _, err := s.Reps(b.Context(), long.ID); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("nothing kept", func(b *testing.B) {
		for b.Loop() {
			s.kept.kept = nil
			if _, err := s.Reps(b.Context(), long.ID); err != nil {
				b.Fatal(err)
			}
		}
	})
}
