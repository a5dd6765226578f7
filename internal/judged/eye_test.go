package judged

import (
	"testing"

	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// A bullpen that was marked before it came from another instructor is judged by the wider
// of both eyes: the new one's closer eye makes no mark of it surer.
func TestMarksOfAnotherInstructor(t *testing.T) {
	for _, c := range []struct{ before, now, want float64 }{
		{0.012, 0.004, 0.012},
		{tempo.EyeSpread, 0.004, 0}, // never measured, and the assumption counts
		{0.004, 0.012, 0.012},
		{0.004, 0, 0},
		{0.012, 0, 0.012},
	} {
		h := newHouse(t)
		sam, err := h.store.AddAccount(t.Context(), "Sam", "x")
		if err != nil {
			t.Fatal(err)
		}
		if err := h.store.MovePitcher(t.Context(), h.her.ID, 0, sam.ID, c.before); err != nil {
			t.Fatal(err)
		}
		in := store.Within(t.Context(), sam.Academy)
		if err := SaveEye(in, h.store, Eye{Seconds: c.now, Marks: 20}); err != nil {
			t.Fatal(err)
		}
		f, err := h.judged.facts(in, h.pens[0].ID)
		if err != nil || f.Eye.Seconds != c.want {
			t.Errorf("marked within %v s, now %v s: judged by %v s, %v", c.before, c.now, f.Eye.Seconds, err)
		}
		own, err := h.store.AddBullpen(in, h.her.Begin("2026-05-23"), true)
		if err != nil {
			t.Fatal(err)
		}
		if f, err := h.judged.facts(in, own.ID); err != nil || f.Eye.Seconds != c.now {
			t.Errorf("her next one is judged by %v s, %v", f.Eye.Seconds, err)
		}
	}
}
