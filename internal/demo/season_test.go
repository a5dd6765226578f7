package demo

import (
	"math"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// The season is judged as its story says: too firm that gets there, steady, too soft.
func TestSeasons(t *testing.T) {
	today := time.Date(2026, 11, 29, 12, 0, 0, 0, time.UTC)
	all := Seasons(today)
	if len(all) != 3 {
		t.Fatalf("%d pitchers", len(all))
	}
	want := map[string][2]bullpen.Verdict{
		"Wren": {bullpen.TooFirm, bullpen.InBand}, "Lark": {bullpen.InBand, bullpen.InBand}, "Jay": {bullpen.TooSoft, bullpen.Soft},
	}
	waiting, answered := 0, 0
	for _, s := range all {
		last := ""
		for i, p := range s.Bullpens {
			if p.Pen.Day <= last || p.Pen.Day > "2026-11-29" || p.Pen.Day < "2026-10-18" { // six weeks
				t.Errorf("%s threw on %s after %s", s.Pitcher.Label, p.Pen.Day, last)
			}
			last = p.Pen.Day
			for k := range p.Reps {
				p.Reps[k].ID, p.Reps[k].Order = string(rune('a'+k)), k+1
			}
			for _, sum := range bullpen.Judge(s.Pitcher, p.Pen, nil, p.Reps).Summaries {
				if sum.Pitch != bullpen.ChangeUp {
					continue
				}
				if first := i == 0; (first || i == len(s.Bullpens)-1) && sum.Verdict != want[s.Pitcher.Label][map[bool]int{true: 0, false: 1}[first]] {
					t.Errorf("%s on %s: %s, mean gap %.1f", s.Pitcher.Label, p.Pen.Day, sum.Verdict, float64(sum.MeanGap.MPH))
				}
			}
		}
		if h := s.Homework; h != nil {
			if _, ok := bullpen.StarterOf(h.Starter); !ok || h.Note == "" || bullpen.SpeaksOfPain(h.Note) {
				t.Errorf("%s: %+v", s.Pitcher.Label, h)
			}
			if h.Words == "" {
				waiting++
			} else {
				answered++
			}
		}
	}
	if waiting != 1 || answered != 1 {
		t.Errorf("%d homeworks wait, %d are answered", waiting, answered)
	}
}

// The same-body film can be drawn, and nothing in it slows down.
func TestSameBodyIsTheSame(t *testing.T) {
	_, _, o := SameBody()
	take, err := Plan(o)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range take.Truth().Reps {
		if r.LegsStretch != 1 || r.ArmStretch != 1 {
			t.Errorf("rep %d is stretched", i+1)
		}
		if r.Pitch == bullpen.ChangeUp && math.Abs(57-float64(r.Speed)-10) > 1.5 {
			t.Errorf("rep %d comes in at %v", i+1, r.Speed)
		}
	}
}
