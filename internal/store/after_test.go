package store

import (
	"testing"

	"tenoff/internal/bullpen"
)

// What is said of a bullpen hangs on her bullpens before it: where one of them changes, its
// revision rises too, and with it whatever is kept by it is looked at again.
func TestABullpensRevisionFollowsThoseBefore(t *testing.T) {
	s := fresh(t)
	first := pen(t, s, "Kit", "2026-04-11")
	last, err := s.AddBullpen(t.Context(), bullpen.Bullpen{PitcherID: first.PitcherID, Day: "2026-04-18"}, true)
	if err != nil {
		t.Fatal(err)
	}
	hers := pen(t, s, "Nell", "2026-04-18")
	at := func(b bullpen.Bullpen) int64 {
		t.Helper()
		_, revision, err := s.Bullpen(t.Context(), b.ID)
		if err != nil {
			t.Fatal(err)
		}
		return revision
	}
	rises := func(what string, want bool, do func() error) {
		t.Helper()
		before, others := at(last), at(hers)
		if err := do(); err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		if got := at(last) > before; got != want {
			t.Errorf("%s: rises %t", what, got)
		}
		if at(hers) != others {
			t.Errorf("%s: somebody else's rises", what)
		}
	}
	var r bullpen.Rep
	rises("a rep added", true, func() (err error) {
		r, _, err = s.AddRep(t.Context(), unmarked(first, bullpen.Fastball, 55))
		return err
	})
	rises("a reading changed", true, func() (err error) {
		r.Reading.Value = 56
		r, _, err = s.SaveRep(t.Context(), r)
		return err
	})
	rises("a reading said to be right", true, func() (err error) {
		r.Sure = true
		r, _, err = s.SaveRep(t.Context(), r)
		return err
	})
	rises("readings typed together", true, func() error {
		_, _, err := s.Enter(t.Context(), Run{BullpenID: first.ID, New: []bullpen.Rep{unmarked(first, bullpen.Fastball, 54)}})
		return err
	})
	rises("a rep taken out", true, func() error { _, err := s.RemoveRep(t.Context(), r.ID, 0); return err })
	rises("and brought back", true, func() error { _, _, err := s.RestoreRep(t.Context(), r.ID); return err })
	change := func(how func(*bullpen.Bullpen)) func() error {
		return func() error {
			b, _, err := s.Bullpen(t.Context(), first.ID)
			if err != nil {
				return err
			}
			how(&b)
			_, _, err = s.SaveBullpen(t.Context(), b)
			return err
		}
	}
	rises("a title", false, change(func(b *bullpen.Bullpen) { b.Title = "rain" }))
	rises("another gun", true, change(func(b *bullpen.Bullpen) { b.GunName = "the old one" }))
	rises("moved behind it", true, change(func(b *bullpen.Bullpen) { b.Day = "2026-04-19" }))
	rises("a rep added behind it", false, func() error {
		_, _, err := s.AddRep(t.Context(), unmarked(first, bullpen.Fastball, 55))
		return err
	})
	rises("and moved back", true, change(func(b *bullpen.Bullpen) { b.Day = "2026-04-11" }))
	rises("removed", true, func() error {
		_, err := s.RemoveBullpen(t.Context(), first.ID, 0, Whatever)
		return err
	})
}

func TestEarlier(t *testing.T) {
	s := fresh(t)
	first := pen(t, s, "Kit", "2026-04-11")
	add := func(day string, gun bullpen.GunPlace, name string, read bool) bullpen.Bullpen {
		t.Helper()
		b, err := s.AddBullpen(t.Context(), bullpen.Bullpen{PitcherID: first.PitcherID, Day: day, Gun: gun, GunName: name}, true)
		if err != nil {
			t.Fatal(err)
		}
		if read {
			if _, _, err := s.AddRep(t.Context(), unmarked(b, bullpen.Fastball, 55)); err != nil {
				t.Fatal(err)
			}
		}
		return b
	}
	want := add("2026-04-12", bullpen.BehindCatcher, "", true)
	add("2026-04-13", bullpen.BesidePitcher, "", true)
	add("2026-04-14", bullpen.BehindCatcher, "the old one", true)
	b, _, err := s.Bullpen(t.Context(), add("2026-04-15", bullpen.BehindCatcher, "the old one", false).ID)
	if err != nil {
		t.Fatal(err)
	}
	b.GunName = ""
	if _, _, err := s.SaveBullpen(t.Context(), b); err != nil { // nothing was read in it
		t.Fatal(err)
	}
	now := add("2026-04-16", bullpen.BehindCatcher, "none", true)
	now.GunName = ""
	add("2026-04-17", bullpen.BehindCatcher, "", true)
	got, err := s.Earlier(t.Context(), now)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 1 || got[0].ID != want.ID || got[0].Revision == 0 {
		t.Errorf("%+v", got)
	}
}
