package store

import (
	"math"
	"testing"

	"tenoff/internal/bullpen"
)

// What she usually throws is the median of the bullpens before, each by its mean, in
// mph whatever unit it was read in.
func TestUsual(t *testing.T) {
	s := fresh(t)
	first := pen(t, s, "Kit", "2026-04-11")
	usual := func(day string) bullpen.Speed {
		t.Helper()
		v, err := s.Usual(t.Context(), bullpen.Bullpen{ID: "now", PitcherID: first.PitcherID, Day: day})
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if v := usual("2026-05-01"); v != 0 {
		t.Errorf("nothing read: %g", v)
	}
	throw := func(b bullpen.Bullpen, r bullpen.Rep) {
		t.Helper()
		if _, _, err := s.AddRep(t.Context(), r); err != nil {
			t.Fatal(err)
		}
	}
	throw(first, unmarked(first, bullpen.Fastball, 55))
	throw(first, unmarked(first, bullpen.Rise, 53))
	throw(first, unmarked(first, bullpen.ChangeUp, 45))
	warm, drill := unmarked(first, bullpen.Fastball, 40), unmarked(first, bullpen.Fastball, 40)
	warm.WarmUp, drill.Drill = true, "knee"
	throw(first, warm)
	throw(first, drill)
	for _, c := range []struct {
		day   string
		unit  bullpen.Unit
		value float64
		want  float64 // on 1 May, afterwards
	}{
		{"2026-04-12", bullpen.KMH, 56 * bullpen.KMHPerMPH, 55},
		{"2026-04-13", bullpen.MPH, 90, 56},
		{"2026-05-02", bullpen.MPH, 70, 56}, // later
	} {
		b, err := s.AddBullpen(t.Context(), bullpen.Bullpen{PitcherID: first.PitcherID, Day: c.day, Unit: c.unit}, true)
		if err != nil {
			t.Fatal(err)
		}
		r := unmarked(b, bullpen.Fastball, c.value)
		r.Reading.Unit = ""
		throw(b, r)
		if v := usual("2026-05-01"); math.Abs(float64(v)-c.want) > 1e-9 {
			t.Errorf("after %s: %g mph, want %g", c.day, v, c.want)
		}
	}
	if v := usual("2026-04-11"); v != 54 {
		t.Errorf("of that day: %g", v)
	}
}
