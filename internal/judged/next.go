package judged

import (
	"fmt"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// Next says to the instructor what to do next with the pitch of a summary of the bullpen's:
// first what the body asks for, then what the gap does; where the body asks for nothing the
// gap comes first, and then is "". Both are "" while there is nothing to say.
func (b Bullpen) Next(s bullpen.Summary) (first, then string) {
	gap := strings.Join(b.nextForGap(s), " ")
	if c, ok := b.Body.Check(tempo.SubjectOf(s.Pitch, s.Drill)); ok && c.Next != "" {
		return c.Next, gap
	}
	return gap, ""
}

// nextForGap says it of the gap in one to three sentences, first what has to be settled.
func (b Bullpen) nextForGap(s bullpen.Summary) []string {
	var out []string
	switch asked := b.asked(s); len(asked) {
	case 0:
	case 1:
		out = append(out, fmt.Sprintf("First settle the reading of rep %d.", asked[0]))
	default:
		out = append(out, fmt.Sprintf("First settle the %d readings that are asked about.", len(asked)))
	}
	if s.EdgeOf != bullpen.InBand { // else it may be right as it is, and what to aim at says enough
		switch {
		case s.ComeBackOnSaid != "":
			out = append(out, s.ComeBackOnSaid+" can come back on: throw it that much faster.")
		case s.Verdict == bullpen.TooFirm && !s.SoFar:
			fast, _ := bullpen.TypeOf(b.Pitcher.BaselinePitch)
			out = append(out, fmt.Sprintf("Too close to the %s: take speed off with the grip and the hand, not with the body.", fast.Name))
		}
	}
	if s.AimSaid != "" {
		out = append(out, fmt.Sprintf("Aim for %s.", s.AimSaid))
	}
	if s.NextInBand == nil && s.ChancePending != "" && s.ChancePending != s.Pending {
		out = append(out, s.ChancePending)
	}
	if s.Mix != "" {
		out = append(out, s.Mix)
	}
	return out
}

// asked returns the places in the order thrown of the summary's reps whose reading is asked
// about.
func (b Bullpen) asked(s bullpen.Summary) []int {
	var out []int
	for i, r := range b.Reps {
		if b.isOf(r, s) && !r.WarmUp && !r.Sure && b.Sheet.Reps[i].Doubt != "" {
			out = append(out, r.Order)
		}
	}
	return out
}

// isOf says whether the rep is one of those that the summary is about.
func (b Bullpen) isOf(r bullpen.Rep, s bullpen.Summary) bool {
	return r.Pitch == s.Pitch && bullpen.DrillKey(r.Drill) == bullpen.DrillKey(s.Drill) && b.gun(r) == s.Gun
}
