package tempo

import (
	"math"

	"tenoff/internal/bullpen"
)

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
	LegsSame   float64 // the body is the same when the legs' whole interval lies below this
	LegsKept   float64 // legs kept up beside a slower arm when their whole interval lies below this
	ArmSlowed  float64
	ArmSame    float64
	RepSlowed  float64 // one rep's legs or arm are slowed when it is shown that they are by more than this
}

// DefaultMargins are chosen so that no slow-down is claimed that a film of eight
// fastballs and eight off-speed reps can't show, and so that a body is called the
// same only where one that is 5 % slower is ruled out. Legs and arm are called slower
// by the same margin: the same range has the same word.
func DefaultMargins() Margins { return Margins{0.025, math.Log(1.05), 0.06, 0.025, 0.09, 0.01} }

// Reason says why a film does not decide the question.
type Reason string

// The reasons for can't tell.
const (
	Decided      Reason = ""
	NoFastballs  Reason = "no fastballs" // fewer than two fastballs with the legs' two instants
	NoOffSpeed   Reason = "no off-speed" // fewer than two off-speed reps with them
	TooFewReps   Reason = "too few reps" // more of them would settle it
	ViewTooPoor  Reason = "view"         // the method's own bias is too wide from here
	OtherShape   Reason = "shape"        // the off-speed reps move too unlike the fastballs to be timed by them
	BetweenEdges Reason = "between"      // the slow-down lies where neither claim can be made
)

// Check is the same-body check of one pitch type in one bullpen. It speaks of single
// reps first: Slowed and SlowedArms name those that are shown to be slower by themselves.
type Check struct {
	Pitch     bullpen.Pitch `json:"pitch"`
	PitchName string        `json:"pitchName"`
	Drill     string        `json:"drill"` // "" is the full pitch
	Verdict   Verdict       `json:"verdict"`
	// Slowed and SlowedArms are the orders of the reps that by themselves are shown to be
	// slower than her own fastballs, by their legs or by the arm alone; nil for none.
	Slowed     []int `json:"slowed,omitempty"`
	SlowedArms []int `json:"slowedArms,omitempty"`
	// Others is the verdict on the reps beside these, together; "" where none is named, or
	// where the others are slower too, so that Verdict speaks of all. CantTell also where
	// there are too few others.
	Others Verdict `json:"others,omitempty"`
	// On says of how many reps Verdict speaks where it is not all: "on 2 of 8".
	On     string `json:"on,omitempty"`
	Reason Reason `json:"reason,omitempty"`
	// Sentence says the verdict in words, of can't tell why, and of legs or an arm
	// that look slower without being shown to be how far that may be off.
	Sentence string `json:"sentence"`
	// Next says what to do about a slow-down in words, and of can't tell what would
	// settle it; empty for the same body.
	Next string `json:"next,omitempty"`
	// Notes are sentences to be read with it: from behind, arm not judged, reps
	// left out.
	Notes []string `json:"notes"`
	// NoMoreThan is the largest slow-down that the film does not rule out, in whole per
	// cent of her fastballs' speed: from 100 down to the lower end of the range as it is
	// shown, 0 where it rules out any; "same body" is always said with it. Nil while
	// nothing can be compared.
	NoMoreThan *float64 `json:"noMoreThan,omitempty"`
	Fast       int      `json:"fast"` // fastballs with the legs timed
	Off        int      `json:"off"`  // reps of the pitch with the legs timed
	Legs       *Slowing `json:"legs,omitempty"`
	Arm        *Slowing `json:"arm,omitempty"` // nil where the arm is not judged
	// Own is the spread of the legs' speed on the fastballs it was compared with; nil
	// with fewer than three.
	Own *Spread `json:"own,omitempty"`
	// MoreFast and MoreOff are how many more reps of each would settle it, when
	// more reps would.
	MoreFast int          `json:"moreFast,omitempty"`
	MoreOff  int          `json:"moreOff,omitempty"`
	View     bullpen.View `json:"view"`
	LeftOut  int          `json:"leftOut,omitempty"` // timed reps of the pitch filmed from elsewhere
	// Split is where the gap came from; nil on can't tell, or without a gap.
	Split *Split `json:"split,omitempty"`
	// Softest says in one sentence that the softest of them are those with the slowest
	// legs; "" where they are not.
	Softest string `json:"softest,omitempty"`

	legs                  Contrast
	legsLook, armLook     bodyWord
	others                int  // reps that Others is about
	partial               bool // Verdict speaks of some of the reps
	fastThrown, offThrown int  // with and without a time
}

// Subject returns what the check is about.
func (c Check) Subject() Subject { return SubjectOf(c.Pitch, c.Drill) }

// Slowing is a contrast as it is shown, with its 95 % interval.
type Slowing struct {
	Percent float64 `json:"percent"` // how much longer it took than on her fastballs, %; negative is faster
	Lo      float64 `json:"lo"`
	Hi      float64 `json:"hi"`
	Speed   float64 `json:"speed"` // the same as speed, per cent of her fastballs'
	SpeedLo float64 `json:"speedLo"`
	SpeedHi float64 `json:"speedHi"`
	Spread  float64 `json:"spread"` // standard deviation rep to rep, %
}

// slowing turns a contrast that was compared into what is shown.
func (c Contrast) slowing() *Slowing {
	return &Slowing{
		Percent: Percent(c.Log), Lo: Percent(c.Lo()), Hi: Percent(c.Hi()),
		Speed: 100 * math.Exp(-c.Log), SpeedLo: 100 * math.Exp(-c.Hi()), SpeedHi: 100 * math.Exp(-c.Lo()),
		Spread: 100 * c.Spread,
	}
}

// part makes the check one of single reps: those that are named, and n others, judged in
// rest.
func (c *Check) part(rest Check, n int) {
	c.partial = true
	c.Verdict, c.Reason, c.MoreFast, c.MoreOff = SlowedBody, Decided, 0, 0
	if len(c.Slowed) == 0 {
		c.Verdict = SlowedArm
	}
	if n > 0 {
		c.Others, c.others, c.NoMoreThan = rest.Verdict, n, rest.NoMoreThan
	}
}

// mostReps is where asking for more reps stops making sense in one bullpen.
const mostReps = 30

// decide is the rule itself, on intervals: an equivalence test with margins on the
// log ratio, not the finding of any difference (Schuirmann's two one-sided tests,
// J. Pharmacokinet. Biopharm. 15, 657, 1987; from memory). The order matters:
// slowed legs are said before a slowed arm. It goes by the ranges as they are shown, so
// that the same range has the same verdict.
func decide(legs, arm Contrast, armOK bool, m Margins) Verdict {
	legs, arm = legs.shown(), arm.shown()
	switch {
	case legs.Lo() > m.BodySlowed:
		return SlowedBody
	case legs.Hi() < m.LegsKept && armOK && arm.Lo() > m.ArmSlowed:
		return SlowedArm
	case legs.Hi() < m.LegsSame && (!armOK || arm.Hi() < m.LegsSame ||
		arm.Hi() < m.ArmSame && lookOf(arm, m.ArmSlowed) == looksEven):
		return SameBody
	}
	return CantTell
}

// NewCheck runs the same-body check on the contrasts of legs and arm; legsOK and
// armOK are false where there is no interval.
func NewCheck(legs Contrast, legsOK bool, arm Contrast, armOK bool, m Margins) Check {
	c := Check{Verdict: CantTell, Fast: legs.Fast, Off: legs.Off, Notes: []string{}, legs: legs}
	switch {
	case legs.Fast < 2:
		c.Reason = NoFastballs
		return c
	case legs.Off < 2 || !legsOK:
		c.Reason = NoOffSpeed
		return c
	}
	c.Legs = legs.slowing()
	least := c.Legs.SpeedLo
	if armOK {
		c.Arm = arm.slowing()
		least = math.Min(least, c.Arm.SpeedLo)
	}
	most := math.Max(100-math.Round(least), 0)
	c.NoMoreThan = &most
	c.Verdict = decide(legs, arm, armOK, m)
	c.legsLook = lookOf(legs, m.BodySlowed)
	if armOK {
		c.armLook = lookOf(arm, m.ArmSlowed)
	}
	if c.Verdict == CantTell {
		c.Reason, c.MoreFast, c.MoreOff = settle(legs, arm, armOK, m)
	}
	return c
}

// settle says what would decide an undecided check: the fewest reps on both sides
// that would, if they looked like the ones so far.
func settle(legs, arm Contrast, armOK bool, m Margins) (Reason, int, int) {
	// The arm may be timed on fewer reps than the legs: it gains what is added, no more.
	would := func(n int) bool {
		return decide(legs.with(n), arm.plus(n-legs.Fast, n-legs.Off), armOK, m) != CantTell
	}
	for n := min(legs.Fast, legs.Off) + 1; n <= mostReps; n++ {
		if would(n) {
			return TooFewReps, max(n-legs.Fast, 0), max(n-legs.Off, 0)
		}
	}
	if legs.Unlike > 0 {
		legs.Unlike = 0
		if would(mostReps) {
			return OtherShape, 0, 0
		}
	}
	if legs.Bias > BiasOf(bullpen.ViewSide).Legs {
		legs.Bias = BiasOf(bullpen.ViewSide).Legs
		if would(mostReps) {
			return ViewTooPoor, 0, 0
		}
	}
	return BetweenEdges, 0, 0
}
