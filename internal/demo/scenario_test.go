package demo

import (
	"math"
	"testing"

	"tenoff/internal/bullpen"
)

// The newcomer's bullpen shows every verdict on the gap and every tempo.
func TestBullpenShowsEverything(t *testing.T) {
	who, pen, o := Bullpen()
	truth := plan(t, o).Truth()
	if n := len(truth.Reps); n < 12 || n > 16 {
		t.Errorf("%d reps", n)
	}
	if s := truth.Clock.FileSeconds(truth.Clock.Frames() - 1); s < 60 || s > 95 {
		t.Errorf("%.0f s long", s)
	}
	if math.Abs(who.Extension()-truth.ExtensionFeet) > .3 || who.DistanceFeet != truth.DistanceFeet || pen.Gun != truth.Gun || who.Hand != truth.Hand {
		t.Errorf("the pitcher's card says %+v, the truth %.2f ft of extension, %v", who, truth.ExtensionFeet, truth.Gun)
	}
	var sum, n float64
	for _, r := range truth.Reps {
		if r.Pitch == bullpen.Fastball {
			sum, n = sum+r.Reading.Value, n+1
		}
	}
	change, _ := bullpen.TypeOf(bullpen.ChangeUp)
	seen := map[string]int{}
	for i, r := range truth.Reps {
		if r.Set == 0 || r.Number == 0 || r.Call == bullpen.NoCall {
			t.Errorf("rep %d says no set, number or call", i+1)
		}
		if r.Pitch != bullpen.ChangeUp {
			continue
		}
		seen[string(r.Tempo)]++
		switch gap := sum/n - r.Reading.Value; {
		case gap < change.Band.Lo:
			seen["firm"]++
		case gap <= change.Band.Hi:
			seen["in"]++
		case gap < change.Band.Limit:
			seen["soft"]++
		default:
			seen["too soft"]++
		}
	}
	for _, what := range []string{"firm", "in", "soft", "too soft", string(Same), string(Body), string(ArmLate)} {
		if seen[what] == 0 {
			t.Errorf("nothing is %q: %v", what, seen)
		}
	}
}

func TestSeries(t *testing.T) {
	reps := Series(3, 2, Body, 1.1)
	want := []bullpen.Pitch{bullpen.Fastball, bullpen.ChangeUp, bullpen.Fastball, bullpen.ChangeUp, bullpen.Fastball}
	if len(reps) != len(want) {
		t.Fatalf("%d reps", len(reps))
	}
	for i, r := range reps {
		slowed := r.Tempo == Body && r.Stretch == 1.1
		if r.Pitch != want[i] || slowed != (want[i] == bullpen.ChangeUp) {
			t.Errorf("rep %d: %+v", i+1, r)
		}
	}
}
