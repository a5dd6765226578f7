package judged

import (
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// Unless a rep is named, a sheet shows the one of each group nearest the medians, a fastball
// of the same film if there is one; and never a rep whose instants are not all known.
func TestDeliveryPair(t *testing.T) {
	clock := bullpen.Clock{Num: 1, Den: 240, Slow: 1}
	for i := range 4000 {
		clock.Ticks = append(clock.Ticks, int64(i))
	}
	film := func(id string, view bullpen.View) store.Film {
		return store.Film{Film: bullpen.Film{ID: id, State: bullpen.FilmReady, Clock: clock, View: view}}
	}
	known := Facts{
		Pitcher: bullpen.Pitcher{BaselinePitch: bullpen.Fastball, Policy: bullpen.MeanOf},
		Pen:     bullpen.Bullpen{Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1},
		Films:   []store.Film{film("a", bullpen.ViewSide), film("b", bullpen.ViewBehind)},
	}
	add := func(id, film string, pitch bullpen.Pitch, mph float64, legs int, change func(*bullpen.Rep)) {
		at := 200 * (len(known.Reps) + 1)
		r := bullpen.Rep{
			ID: id, FilmID: film, Order: len(known.Reps) + 1, Pitch: pitch, Reading: &bullpen.Reading{Value: mph},
			Drive: at - 30 - legs, Plant: at - 30, Top: at - 25, Release: at,
		}
		if change != nil {
			change(&r)
		}
		known.Reps = append(known.Reps, r)
	}
	add("warm", "a", bullpen.Fastball, 55, 100, func(r *bullpen.Rep) { r.WarmUp = true })
	add("quick", "a", bullpen.Fastball, 57, 92, nil)
	add("slow", "a", bullpen.Fastball, 52, 112, nil)
	add("usual", "b", bullpen.Fastball, 55, 100, nil)
	add("near", "a", bullpen.Fastball, 55, 103, nil)
	add("no drive", "a", bullpen.Fastball, 55, 100, func(r *bullpen.Rep) { r.Drive = bullpen.Unmarked })
	add("firm", "a", bullpen.ChangeUp, 50, 90, nil)
	add("middle", "a", bullpen.ChangeUp, 45, 100, nil)
	add("slowed", "a", bullpen.ChangeUp, 41, 125, nil)
	b := Of(known)
	for _, c := range []struct{ off, fast, wantOff, wantFast string }{
		{"", "", "middle", "near"}, // "usual" is nearer, but on another film
		{"slowed", "", "slowed", "near"},
		{"", "quick", "middle", "quick"},
		{"firm", "usual", "firm", "usual"},
	} {
		off, fast, err := b.DeliveryPair(c.off, c.fast)
		if err != nil || off.Rep.ID != c.wantOff || fast.Rep.ID != c.wantFast {
			t.Errorf("%q, %q: %s above %s (%v), want %s above %s", c.off, c.fast, fast.Rep.ID, off.Rep.ID, err, c.wantFast, c.wantOff)
		}
	}
	off, _, _ := b.DeliveryPair("", "")
	if want := [4]int{1600 - 130, 1600 - 30, 1600 - 25, 1600}; off.Frames != want {
		t.Errorf("its frames are %v, marked %v", off.Frames, want)
	}
	for _, c := range []struct {
		off, fast string
		code      bullpen.Code
	}{{"no drive", "", bullpen.Invalid}, {"nobody", "", bullpen.NotFound}, {"quick", "quick", bullpen.Invalid}} {
		if _, _, err := b.DeliveryPair(c.off, c.fast); bullpen.CodeOf(err) != c.code {
			t.Errorf("%q, %q: %v", c.off, c.fast, err)
		}
	}
	known.Reps = known.Reps[:6]
	if _, _, err := Of(known).DeliveryPair("", ""); bullpen.CodeOf(err) != bullpen.Invalid {
		t.Errorf("without a change-up: %v", err)
	}
}
