package judged

import (
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// What is next is said once, here: first what the body asks for, then what the gap does. That
// what lies over the band may come back on is common practice, no source.
func TestNext(t *testing.T) {
	drop := bullpen.Pitcher{BaselinePitch: bullpen.Drop}
	chance := 0.03
	tooSoft := bullpen.Summary{Pitch: bullpen.ChangeUp, Verdict: bullpen.TooSoft, ComeBackOnSaid: "10 mph (8 to 12)", AimSaid: "45 mph (43 to 47)", NextInBand: &chance}
	tooFirm := bullpen.Summary{Pitch: bullpen.ChangeUp, Verdict: bullpen.TooFirm}
	onEdge := tooSoft
	onEdge.EdgeOf = bullpen.InBand
	few := bullpen.Summary{Pitch: bullpen.ChangeUp, ChancePending: "A speed to aim for takes 3 readings.", Mix: "Next time mix them."}
	legs := tempo.Assessment{Checks: []tempo.Check{{Pitch: bullpen.ChangeUp, Next: "Legs and hips as fast as on the drop."}}}
	asked := func(orders ...int) (reps []bullpen.Rep, sheet bullpen.Sheet) {
		for _, o := range orders {
			reps = append(reps, bullpen.Rep{Order: o, Pitch: bullpen.ChangeUp})
			sheet.Reps = append(sheet.Reps, bullpen.RepNumbers{Doubt: "Sure?"})
		}
		// What somebody said yes to, threw to warm up, or threw of another pitch is not among them.
		reps = append(reps, bullpen.Rep{Order: 97, Pitch: bullpen.ChangeUp, Sure: true}, bullpen.Rep{Order: 98, Pitch: bullpen.ChangeUp, WarmUp: true}, bullpen.Rep{Order: 99, Pitch: bullpen.Drop})
		sheet.Reps = append(sheet.Reps, bullpen.RepNumbers{Doubt: "Sure?"}, bullpen.RepNumbers{Doubt: "Sure?"}, bullpen.RepNumbers{Doubt: "Sure?"})
		return reps, sheet
	}
	const back, aim = "10 mph (8 to 12) can come back on: throw it that much faster.", "Aim for 45 mph (43 to 47)."
	for _, c := range []struct {
		what        string
		summary     bullpen.Summary
		body        tempo.Assessment
		asked       []int
		first, then string
	}{
		{"twenty off", tooSoft, tempo.Assessment{}, nil, back + " " + aim, ""},
		{"it may be right as it is", onEdge, tempo.Assessment{}, nil, aim, ""},
		{"too firm under a drop", tooFirm, tempo.Assessment{}, nil, "Too close to the drop: take speed off with the grip and the hand, not with the body.", ""},
		{"too firm so far", soFar(tooFirm), tempo.Assessment{}, nil, "", ""},
		{"few", few, tempo.Assessment{}, nil, "A speed to aim for takes 3 readings. Next time mix them.", ""},
		{"nothing", bullpen.Summary{Pitch: bullpen.ChangeUp, Pending: "Why.", ChancePending: "Why."}, tempo.Assessment{}, nil, "", ""},
		{"the body first", tooSoft, legs, nil, "Legs and hips as fast as on the drop.", back + " " + aim},
		{"one asked about", onEdge, tempo.Assessment{}, []int{4}, "First settle the reading of rep 4. " + aim, ""},
		{"two asked about", onEdge, tempo.Assessment{}, []int{4, 6}, "First settle the 2 readings that are asked about. " + aim, ""},
	} {
		b := Bullpen{Facts: Facts{Pitcher: drop}, Body: c.body}
		b.Reps, b.Sheet = asked(c.asked...)
		if first, then := b.Next(c.summary); first != c.first || then != c.then {
			t.Errorf("%s: %q, then %q; want %q, then %q", c.what, first, then, c.first, c.then)
		}
	}
}
