package bullpen

import "testing"

// What a student was told is held against what she would be told now, number by number, an
// answer from before there was a "so far" too; what is new and was not told her is no change.
func TestTellsLike(t *testing.T) {
	arm := 91.2
	rep := ShownRep{
		Order: 3, Pitch: ChangeUp, Reading: &ShownReading{Value: 45, Unit: MPH, Step: 1}, Gap: &ShownGap{MPH: 10.02, KMH: 16.13},
		Verdict: InBand, EdgeOf: Soft, SoFar: true, Body: &ShownBody{Legs: 86.2, Arm: &arm, Slowed: true},
	}
	aim := ShownAim{
		Pitch: ChangeUp, Reps: 6, MeanGap: &ShownGap{MPH: 13, KMH: 20.9}, Verdict: Soft, SoFar: true,
		Aim: &ShownRange{ShownSpeed{43, 69.2}, ShownSpeed{47, 75.6}}, ComeBackOn: &ShownRange{ShownSpeed{1, 1.6}, ShownSpeed{5, 8}},
		Body:    map[string]string{"en": "Legs slowed: pitch 3.", "es": "Piernas lentas: lanzamiento 3."},
		Decided: &ShownDecided{Legs: []int{3}},
	}
	for _, c := range []struct {
		what string
		then func(r *ShownRep, a *ShownAim)
		same bool
	}{
		{"as it is", func(*ShownRep, *ShownAim) {}, true},
		{"from before the body was kept", func(r *ShownRep, _ *ShownAim) { r.Body = nil }, true},
		{"from before the body of a pitch was kept", func(_ *ShownRep, a *ShownAim) { a.Body, a.Decided = nil, nil }, true},
		{"from before what was decided was kept", func(_ *ShownRep, a *ShownAim) { a.Decided = nil }, true},
		{"worded otherwise", func(_ *ShownRep, a *ShownAim) { a.Body = map[string]string{"en": "Her legs slowed on pitch 3."} }, true},
		{"another body of the pitch", func(_ *ShownRep, a *ShownAim) { a.Decided = &ShownDecided{Verdict: "same body"} }, false},
		{"another verdict on the others", func(_ *ShownRep, a *ShownAim) { a.Decided = &ShownDecided{Verdict: "slowed arm", Legs: []int{3}} }, false},
		{"another rep of the pitch", func(_ *ShownRep, a *ShownAim) { a.Decided = &ShownDecided{Legs: []int{4}} }, false},
		{"the arm of it", func(_ *ShownRep, a *ShownAim) { a.Decided = &ShownDecided{Arm: []int{3}} }, false},
		{"other digits that nobody reads", func(r *ShownRep, a *ShownAim) {
			r.Gap = &ShownGap{MPH: 9.98, KMH: 16.08}
			a.Aim = &ShownRange{ShownSpeed{42.9, 69}, ShownSpeed{47.1, 75.8}}
		}, true},
		{"another moment's picture", func(_ *ShownRep, a *ShownAim) { a.Moment = &ShownMoment{} }, true},
		{"told as firm, edge and so far from before they were kept", func(r *ShownRep, _ *ShownAim) { r.EdgeOf, r.SoFar = Pending, false }, false},
		{"told as firm in the sum", func(_ *ShownRep, a *ShownAim) { a.SoFar = false }, false},
		{"another verdict", func(r *ShownRep, _ *ShownAim) { r.Verdict = Soft }, false},
		{"another edge", func(r *ShownRep, _ *ShownAim) { r.EdgeOf = TooFirm }, false},
		{"another gap", func(r *ShownRep, _ *ShownAim) { r.Gap = &ShownGap{MPH: 10.12, KMH: 16.3} }, false},
		{"another body", func(r *ShownRep, _ *ShownAim) { r.Body = &ShownBody{Legs: 99} }, false},
		{"another reading", func(r *ShownRep, _ *ShownAim) { r.Reading = &ShownReading{Value: 46, Unit: MPH, Step: 1} }, false},
		{"advice on what to aim at that is none now", func(_ *ShownRep, a *ShownAim) { a.Aim = nil }, false},
		{"more can come back on", func(_ *ShownRep, a *ShownAim) { a.ComeBackOn = &ShownRange{ShownSpeed{2, 3.2}, ShownSpeed{6, 9.7}} }, false},
	} {
		r, a := rep, aim
		c.then(&r, &a)
		if got := (Shown{Reps: []ShownRep{r}, Aims: []ShownAim{a}}).TellsLike(Shown{Reps: []ShownRep{rep}, Aims: []ShownAim{aim}}); got != c.same {
			t.Errorf("%s: tells the same %t", c.what, got)
		}
	}
	if (Shown{Reps: []ShownRep{rep}}).TellsLike(Shown{}) {
		t.Error("a rep that is gone is no change")
	}
	now := aim
	now.Body, now.Decided = nil, nil
	if (Shown{Aims: []ShownAim{aim}}).TellsLike(Shown{Aims: []ShownAim{now}}) {
		t.Error("a body of which nothing is decided any more is no change")
	}
}
