package judged

import (
	"reflect"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// What a parent is told is composed in each language as a whole, in her unit.
func TestTold(t *testing.T) {
	ten, _ := bullpen.TypeOf(bullpen.ChangeUp)
	aim, back := &bullpen.Range{Lo: 40.6, Hi: 44.4}, &bullpen.Range{Lo: 3, Hi: 6.2}
	change := bullpen.Summary{Pitch: bullpen.ChangeUp, PitchName: "change-up", Judged: 8, InBand: 7, Verdict: bullpen.InBand, Band: ten.Band, Aim: aim}
	soft, firm := change, change
	soft.InBand, soft.Verdict, soft.ComeBackOn = 1, bullpen.TooSoft, back
	firm.InBand, firm.Verdict, firm.Aim = 0, bullpen.TooFirm, nil
	for _, c := range []struct {
		what             string
		summary          bullpen.Summary
		check            tempo.Check
		unit             bullpen.Unit
		headline, next   string
		spanish, despues string
	}{
		{"two slowed", change, tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{6, 9}, Others: tempo.SameBody}, bullpen.MPH,
			"7 of 8 about ten off. Legs slowed: pitches 6 and 9.",
			"Legs and hips as fast as on the fastball; grip and hand take the speed off. Aim for 42 mph (41 to 44).",
			"7 de 8, unas diez menos. Piernas lentas: lanzamientos 6 y 9.",
			"Piernas y cadera tan rápidas como en tu recta; la velocidad la quitan el agarre y la mano. Apunta a 42 mph (de 41 a 44)."},
		{"too soft, same body", soft, tempo.Check{Verdict: tempo.SameBody}, bullpen.MPH,
			"1 of 8 about ten off. Same body.", "5 mph (3 to 6) can come back on: throw it that much faster. Aim for 42 mph (41 to 44).",
			"1 de 8, unas diez menos. Mismo cuerpo.", "Puede ir 5 mph (de 3 a 6) más rápido. Apunta a 42 mph (de 41 a 44)."},
		{"in km/h", change, tempo.Check{Verdict: tempo.SameBody}, bullpen.KMH, // 40.6 to 44.4 mph are 65.3 to 71.5 km/h (NIST SP 811)
			"7 of 8 about ten off. Same body.", "Aim for 68 km/h (66 to 71).",
			"7 de 8, unas diez menos. Mismo cuerpo.", "Apunta a 68 km/h (de 66 a 71)."},
		{"too firm", firm, tempo.Check{Verdict: tempo.SlowedArm, SlowedArms: []int{4}, Others: tempo.SameBody}, bullpen.MPH,
			"0 of 8 about ten off. Arm slowed: pitch 4.", "The arm as fast as on the fastball; grip and hand take the speed off.",
			"0 de 8, unas diez menos. Brazo lento: lanzamiento 4.", "El brazo tan rápido como en tu recta; la velocidad la quitan el agarre y la mano."},
	} {
		c.check.Pitch = bullpen.ChangeUp
		b := Bullpen{
			Facts: Facts{Pitcher: bullpen.Pitcher{BaselinePitch: bullpen.Fastball, Unit: c.unit}, Films: []store.Film{{}}},
			Sheet: bullpen.Sheet{Summaries: []bullpen.Summary{c.summary}}, Body: tempo.Assessment{Checks: []tempo.Check{c.check}},
		}
		if got := b.Told(texts.English); got.Headline != c.headline || got.Next != c.next || got.Of == nil {
			t.Errorf("%s: %+v", c.what, got)
		}
		for l, headline := range map[texts.Language]string{texts.English: c.headline, texts.Spanish: c.spanish} {
			if got := b.BodyTold(l, c.summary); got == "" || !strings.HasSuffix(headline, " "+got) {
				t.Errorf("%s: beside the gap stands %q, in the headline %q", c.what, got, headline)
			}
		}
		if got := b.Told(texts.Spanish); got.Headline != c.spanish || got.Next != c.despues {
			t.Errorf("%s: %+v", c.what, got)
		}
	}
	undecided := Bullpen{Body: tempo.Assessment{Checks: []tempo.Check{{Pitch: bullpen.ChangeUp, Verdict: tempo.CantTell, Reason: tempo.TooFewReps}}}}
	if got := undecided.BodyDecided(change); got != nil {
		t.Errorf("a film that decides nothing has decided %+v", got)
	}
	if got := undecided.BodyTold(texts.English, change); got != "" {
		t.Errorf("a film that decides nothing says %q beside the gap", got)
	}
	if got := (Bullpen{}).Told(texts.English); got.Headline+got.Next != "" || got.Of != nil || got.Others != nil {
		t.Errorf("of nothing: %+v", got)
	}
}

// What an answer keeps of the body to compare is what the sentence beside the gap says, no more
// and no less.
func TestBodyDecided(t *testing.T) {
	for _, c := range []struct {
		check tempo.Check
		want  bullpen.ShownDecided
		said  string
	}{
		{tempo.Check{Verdict: tempo.SameBody}, bullpen.ShownDecided{Verdict: "same body"}, "Same body."},
		{tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{3}}, bullpen.ShownDecided{Verdict: "slowed body"}, "Legs slowed."},
		{tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{3}, Others: tempo.SameBody}, bullpen.ShownDecided{Legs: []int{3}}, "Legs slowed: pitch 3."},
		{tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{3}, Others: tempo.CantTell}, bullpen.ShownDecided{Legs: []int{3}}, "Legs slowed: pitch 3."},
		{tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{3}, Others: tempo.SlowedArm}, bullpen.ShownDecided{Verdict: "slowed arm", Legs: []int{3}}, "Legs slowed 1×; arm mostly."},
		{tempo.Check{Verdict: tempo.SlowedBody, Slowed: []int{3}, SlowedArms: []int{5}, Others: tempo.SlowedArm}, bullpen.ShownDecided{Legs: []int{3}, Arm: []int{5}}, "Legs slowed 1×, arm 1×."},
		{tempo.Check{Verdict: tempo.SlowedArm, SlowedArms: []int{5}, Others: tempo.SameBody}, bullpen.ShownDecided{Arm: []int{5}}, "Arm slowed: pitch 5."},
	} {
		c.check.Pitch = bullpen.ChangeUp
		b, s := Bullpen{Body: tempo.Assessment{Checks: []tempo.Check{c.check}}}, bullpen.Summary{Pitch: bullpen.ChangeUp}
		if got := b.BodyDecided(s); got == nil || !reflect.DeepEqual(*got, c.want) || b.BodyTold(texts.English, s) != c.said {
			t.Errorf("%q has decided %+v, want %q and %+v", b.BodyTold(texts.English, s), got, c.said, c.want)
		}
	}
}
