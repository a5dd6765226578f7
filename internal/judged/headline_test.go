package judged

import (
	"slices"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

func soFar(s bullpen.Summary) bullpen.Summary {
	s.SoFar = true
	return s
}

// The headline is about one pitch, which a page needs to know to say the next thing to do of
// the same: a change-up that came after a curve comes before it, a drill after both.
func TestForemost(t *testing.T) {
	fast := bullpen.Summary{Pitch: bullpen.Fastball}
	curve := bullpen.Summary{Pitch: bullpen.Curve, Judged: 9, InBand: 9}
	drill := bullpen.Summary{Pitch: bullpen.ChangeUp, Drill: "wrist snap", Judged: 9, InBand: 9}
	change := bullpen.Summary{Pitch: bullpen.ChangeUp, Judged: 3, InBand: 2}
	for _, c := range []struct {
		what      string
		summaries []bullpen.Summary
		want      int
		ok        bool
	}{
		{"no gap", []bullpen.Summary{fast, {Pitch: bullpen.ChangeUp}}, 0, false},
		{"a curve first", []bullpen.Summary{fast, curve, drill, change}, 3, true},
		{"no full change-up", []bullpen.Summary{fast, drill, curve}, 2, true},
	} {
		b := Bullpen{Sheet: bullpen.Sheet{Summaries: c.summaries}}
		if got, ok := b.Foremost(); got != c.want || ok != c.ok {
			t.Errorf("%s: %d %v, want %d %v", c.what, got, ok, c.want, c.ok)
		}
	}
}

func TestHeadline(t *testing.T) {
	ten, _ := bullpen.TypeOf(bullpen.ChangeUp)
	band := *ten.Band
	own := bullpen.Band{Unit: bullpen.InMPH, Lo: 6, Hi: 9, Limit: 12}
	change := func(in, of int, v bullpen.Verdict, b bullpen.Band) bullpen.Summary {
		return bullpen.Summary{Pitch: bullpen.ChangeUp, PitchName: "change-up", Judged: of, InBand: in, Verdict: v, Band: &b}
	}
	check := func(c tempo.Check) []tempo.Check { c.Pitch = bullpen.ChangeUp; return []tempo.Check{c} }
	for _, c := range []struct {
		what      string
		summaries []bullpen.Summary
		checks    []tempo.Check
		reps      []bullpen.Verdict
		want      string
	}{
		{"nothing", nil, nil, nil, ""},
		{"all well", []bullpen.Summary{change(8, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SameBody}), nil, "8 of 8 about ten off. Same body."},
		{"two slowed", []bullpen.Summary{change(7, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{6, 9}, Others: tempo.SameBody}), nil, "7 of 8 about ten off. Legs slowed: reps 6 and 9."},
		{"many slowed", []bullpen.Summary{change(7, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{2, 4, 6, 9}, Others: tempo.SameBody}), nil, "7 of 8 about ten off. Legs slowed: 4 reps."},
		{"an arm", []bullpen.Summary{change(7, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SlowedArm, SlowedArms: []int{6}, Others: tempo.SameBody}), nil, "7 of 8 about ten off. Arm slowed: rep 6."},
		{"legs and an arm", []bullpen.Summary{change(7, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SlowedBody, On: "on 1 of 8", Slowed: []int{6}, SlowedArms: []int{9}, Others: tempo.SameBody}), nil, "7 of 8 about ten off. Legs slowed 1×, arm 1×."},
		{"one by legs, all others by the arm", []bullpen.Summary{change(7, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{6}, Others: tempo.SlowedArm}), nil, "7 of 8 about ten off. Legs slowed 1×; arm mostly."},
		{"few reps", []bullpen.Summary{soFar(change(1, 4, bullpen.TooSoft, band))}, check(tempo.Check{Verdict: tempo.SlowedBody}), slices.Repeat([]bullpen.Verdict{bullpen.TooSoft}, 3), "So far 1 of 4 about ten off. Legs slowed."},
		{"all slowed", []bullpen.Summary{change(6, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SlowedBody}), nil, "6 of 8 about ten off. But legs slowed."},
		{"too soft", []bullpen.Summary{change(1, 8, bullpen.TooSoft, band)}, nil, slices.Repeat([]bullpen.Verdict{bullpen.TooSoft}, 7), "1 of 8 about ten off, mostly too soft."},
		{"some too firm, some too soft", []bullpen.Summary{change(1, 8, bullpen.Soft, band)}, nil,
			append(slices.Repeat([]bullpen.Verdict{bullpen.TooFirm}, 4), bullpen.TooSoft, bullpen.TooSoft, bullpen.TooSoft, bullpen.InBand), "1 of 8 about ten off."},
		{"a band of her own", []bullpen.Summary{change(5, 8, bullpen.InBand, own)}, nil, nil, "5 of 8 in the band."},
		{"as wide as about ten may be", []bullpen.Summary{change(5, 8, bullpen.InBand, bullpen.Band{Unit: bullpen.InMPH, Lo: 7, Hi: 13, Limit: 15})}, nil, nil, "5 of 8 about ten off."},
		{"about ten, but wide", []bullpen.Summary{change(5, 8, bullpen.InBand, bullpen.Band{Unit: bullpen.InMPH, Lo: 5, Hi: 15, Limit: 19})}, nil, nil, "5 of 8 in the band."},
		{"undecided", []bullpen.Summary{change(5, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.CantTell, Reason: tempo.TooFewReps}), nil, "5 of 8 about ten off. Body: can't tell yet."},
		{"nothing marked", []bullpen.Summary{change(5, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.CantTell, Reason: tempo.NoFastballs}), nil, "5 of 8 about ten off."},
		{"another pitch", []bullpen.Summary{{Pitch: bullpen.Curve, PitchName: "curve", Judged: 4, InBand: 3, Verdict: bullpen.InBand, Band: &own}}, nil, nil, "Curve: 3 of 4 in the band."},
		{"no gun, slowed", nil, check(tempo.Check{Verdict: tempo.SlowedBody}), nil, "Legs slowed."},
		{"too firm and slowed", []bullpen.Summary{change(0, 4, bullpen.TooFirm, band)}, check(tempo.Check{Verdict: tempo.SlowedBody}), slices.Repeat([]bullpen.Verdict{bullpen.TooFirm}, 4), "0 of 4 about ten off, mostly too firm. Legs slowed."},
		{"no gun", nil, check(tempo.Check{Verdict: tempo.SameBody}), nil, "Same body."},
	} {
		b := Bullpen{Facts: Facts{Films: []store.Film{{}}}, Sheet: bullpen.Sheet{Summaries: c.summaries}, Body: tempo.Assessment{Checks: c.checks}}
		for _, v := range c.reps {
			b.Reps = append(b.Reps, bullpen.Rep{Pitch: bullpen.ChangeUp, Reading: &bullpen.Reading{Value: 45}})
			b.Sheet.Reps = append(b.Sheet.Reps, bullpen.RepNumbers{Verdict: v})
		}
		got := b.Headline(texts.English)
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
		for _, l := range texts.Languages {
			if got := b.Headline(l); len(strings.Fields(got)) > 12 || (got == "") != (c.want == "") {
				t.Errorf("%s, %s: %q", c.what, l, got)
			}
		}
	}
}
