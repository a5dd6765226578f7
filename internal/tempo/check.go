package tempo

import "math"

// Verdict is the outcome of the same-body check.
type Verdict string

// The verdicts on the body.
const (
	SameBody   Verdict = "same body"
	SlowedBody Verdict = "slowed body"
	SlowedArm  Verdict = "slowed arm"
	CantTell   Verdict = "can't tell"
)

// Margins of the check in log units.
type Margins struct {
	BodySlowed float64 // legs are slowed when their whole interval lies above this
	LegsSame   float64 // legs are the same when their whole interval lies below this
	ArmSlowed  float64
	ArmSame    float64
}

// DefaultMargins are chosen so that no slow-down is claimed that a film of eight
// fastballs and eight off-speed reps can't show.
func DefaultMargins() Margins { return Margins{0.02, 0.06, 0.03, 0.09} }

// Reason says why a film does not decide the question.
type Reason string

// The reasons for can't tell.
const (
	Decided      Reason = ""
	NoFastballs  Reason = "no fastballs" // fewer than two fastballs with the legs' two instants
	NoOffSpeed   Reason = "no off-speed" // fewer than two off-speed reps with them
	TooFewReps   Reason = "too few reps" // more of them would settle it
	ViewTooPoor  Reason = "view"         // the method's own bias is too wide from here
	BetweenEdges Reason = "between"      // the slow-down lies where neither claim can be made
)

// Check is the same-body check of one pitch type in one bullpen.
type Check struct {
	Verdict Verdict
	Reason  Reason
	// NoMoreThan is the largest slow-down in per cent that the film does not rule
	// out; "same body" is always said with it.
	NoMoreThan float64
	Legs, Arm  Contrast
	// ArmJudged is false where the arm's time can't be had: hand marks at 30 or 60
	// frames a second.
	ArmJudged bool
	// MoreFast and MoreOff are how many more reps of each would settle it, when
	// more reps would.
	MoreFast, MoreOff int
}

// mostReps is where asking for more reps stops making sense in one bullpen.
const mostReps = 30

// Judge runs the same-body check: an equivalence test with margins on the log
// ratio, not the finding of any difference (Schuirmann's two one-sided tests, J.
// Pharmacokinet. Biopharm. 15, 657, 1987; from memory). The order of the rules
// matters: slowed legs are said before a slowed arm.
func Judge(legs Contrast, legsOK bool, arm Contrast, armOK bool, m Margins) Check {
	c := Check{Verdict: CantTell, Legs: legs, Arm: arm, ArmJudged: armOK}
	switch {
	case legs.Fast < 2:
		c.Reason = NoFastballs
		return c
	case legs.Off < 2 || !legsOK:
		c.Reason = NoOffSpeed
		return c
	}
	c.NoMoreThan = Percent(legs.Hi())
	legsSame := legs.Hi() < m.LegsSame
	switch {
	case legs.Lo() > m.BodySlowed:
		c.Verdict = SlowedBody
	case legsSame && armOK && arm.Lo() > m.ArmSlowed:
		c.Verdict = SlowedArm
	case legsSame && (!armOK || arm.Hi() < m.ArmSame):
		c.Verdict = SameBody
		if armOK {
			c.NoMoreThan = math.Max(c.NoMoreThan, Percent(arm.Hi()))
		}
	default:
		c.Reason, c.MoreFast, c.MoreOff = settle(c, m)
	}
	c.NoMoreThan = math.Max(c.NoMoreThan, 0)
	return c
}

// settle says what would decide an undecided check.
func settle(c Check, m Margins) (Reason, int, int) {
	open, slow, same := c.Legs, m.BodySlowed, m.LegsSame
	if c.Legs.Hi() < m.LegsSame { // the legs are settled, the arm is not
		open, slow, same = c.Arm, m.ArmSlowed, m.ArmSame
	}
	room := math.Max(open.Log-slow, same-open.Log)
	for n := max(min(open.Fast, open.Off), 2); n <= mostReps; n++ {
		if open.halfWidth(n) < room {
			fast, off := max(n-open.Fast, 0), max(n-open.Off, 0)
			if fast+off == 0 {
				off = 1
			}
			return TooFewReps, fast, off
		}
	}
	if open.Bias >= BiasLegsBehind {
		return ViewTooPoor, 0, 0
	}
	return BetweenEdges, 0, 0
}
