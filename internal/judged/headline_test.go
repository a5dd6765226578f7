package judged

import (
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

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
		want      string
	}{
		{"nothing", nil, nil, ""},
		{"all well", []bullpen.Summary{change(8, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SameBody}), "8 of 8 about ten off. Same body."},
		{"two slowed", []bullpen.Summary{change(7, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{6, 9}, Others: tempo.SameBody}), "7 of 8 about ten off. Legs slowed: reps 6 and 9."},
		{"many slowed", []bullpen.Summary{change(7, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{2, 4, 6, 9}, Others: tempo.SameBody}), "7 of 8 about ten off. Legs slowed: 4 reps."},
		{"an arm", []bullpen.Summary{change(7, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SlowedArm, SlowedArms: []int{6}, Others: tempo.SameBody}), "7 of 8 about ten off. Arm slowed: rep 6."},
		{"all slowed", []bullpen.Summary{change(6, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.SlowedBody}), "6 of 8 about ten off. But her legs slowed down."},
		{"too soft", []bullpen.Summary{change(1, 8, bullpen.TooSoft, band)}, nil, "1 of 8 about ten off, mostly too soft."},
		{"a band of her own", []bullpen.Summary{change(5, 8, bullpen.InBand, own)}, nil, "5 of 8 in the band."},
		{"undecided", []bullpen.Summary{change(5, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.CantTell, Reason: tempo.TooFewReps}), "5 of 8 about ten off. Body: can't tell yet."},
		{"nothing marked", []bullpen.Summary{change(5, 8, bullpen.InBand, band)}, check(tempo.Check{Verdict: tempo.CantTell, Reason: tempo.NoFastballs}), "5 of 8 about ten off."},
		{"another pitch", []bullpen.Summary{{Pitch: bullpen.Curve, PitchName: "curve", Judged: 4, InBand: 3, Verdict: bullpen.InBand, Band: &own}}, nil, "Curve: 3 of 4 in the band."},
		{"no gun", nil, check(tempo.Check{Verdict: tempo.SameBody}), "Same body."},
	} {
		b := Bullpen{Facts: Facts{Films: []store.Film{{}}}, Sheet: bullpen.Sheet{Summaries: c.summaries}, Body: tempo.Assessment{Checks: c.checks}}
		got := b.Headline()
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
		if n := len(strings.Fields(got)); n > 12 {
			t.Errorf("%s: %d words", c.what, n)
		}
	}
}
