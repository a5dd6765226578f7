package store

import (
	"testing"

	"tenoff/internal/bullpen"
)

// That a reading is right is said of that reading: it stays with the rep, goes with a new
// reading or another pitch, and what a typed baseline is worth and which gun it was are kept.
func TestSureIsSaidOfOneReading(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	b.GunName = "the old one"
	b, _, err := s.SaveBullpen(t.Context(), b)
	if err != nil || b.GunName != "the old one" {
		t.Fatalf("%+v, %v", b, err)
	}
	next, err := s.AddBullpen(t.Context(), bullpen.Bullpen{PitcherID: b.PitcherID, Day: "2026-04-12"}, true)
	if err != nil || next.GunName != "the old one" {
		t.Errorf("the next bullpen's gun is %q, %v", next.GunName, err)
	}
	r, _, err := s.AddRep(t.Context(), bullpen.Rep{
		BullpenID: b.ID, Pitch: bullpen.ChangeUp, Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: bullpen.Unmarked,
		Reading: &bullpen.Reading{Value: 84, Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher},
	})
	if err != nil {
		t.Fatal(err)
	}
	save := func(change func(*bullpen.Rep)) bool {
		t.Helper()
		change(&r)
		if r, _, err = s.SaveRep(t.Context(), r); err != nil {
			t.Fatal(err)
		}
		throws, err := s.PitcherThrows(t.Context(), b.PitcherID)
		if err != nil || len(throws) != 1 || throws[0].Sure != r.Sure {
			t.Errorf("over the weeks: %+v, %v", throws, err)
		}
		return r.Sure
	}
	if !save(func(r *bullpen.Rep) { r.Sure = true }) {
		t.Error("what was said is not kept")
	}
	if !save(func(r *bullpen.Rep) { r.Note = "far outside" }) {
		t.Error("a note took it away")
	}
	if save(func(r *bullpen.Rep) {
		r.Reading = &bullpen.Reading{Value: 48, Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher}
	}) {
		t.Error("it is said of another reading")
	}
	save(func(r *bullpen.Rep) { r.Sure = true })
	if save(func(r *bullpen.Rep) { r.Pitch = bullpen.Fastball }) {
		t.Error("it is said of another pitch")
	}

	p, err := s.Pitcher(t.Context(), b.PitcherID)
	if err != nil {
		t.Fatal(err)
	}
	p.TypedGun, p.TypedWithin = bullpen.BehindPitcher, new(bullpen.Speed(0.5))
	if _, err = s.SavePitcher(t.Context(), p); err != nil {
		t.Fatal(err)
	}
	if p, err = s.Pitcher(t.Context(), p.ID); err != nil || p.TypedGun != bullpen.BehindPitcher || p.TypedWithin == nil || *p.TypedWithin != 0.5 {
		t.Errorf("typed from %q within %v, %v", p.TypedGun, p.TypedWithin, err)
	}
}
