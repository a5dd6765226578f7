package tempo

import (
	"math"

	"tenoff/internal/bullpen"
)

// Split divides a gap between the body and the hand, each with a 95 % range. It
// is a rule of proportion, not a measurement: if ball speed followed the legs'
// speed one for one, a body at 90 % of a 55 mph fastball would give up 5.5 mph, and
// grip and hand the rest.
type Split struct {
	Gap    bullpen.Speed `json:"gap"`
	Body   bullpen.Speed `json:"body"`
	Hand   bullpen.Speed `json:"hand"` // Body + Hand = Gap
	BodyLo bullpen.Speed `json:"bodyLo"`
	BodyHi bullpen.Speed `json:"bodyHi"`
	HandLo bullpen.Speed `json:"handLo"`
	HandHi bullpen.Speed `json:"handHi"`
	// BodyShare is the body's share of the gap, 0 to 100 %, for drawing: outside
	// values are drawn at the ends.
	BodyShare float64 `json:"bodyShare"`
	// Rest says what Hand stands for: "grip and hand", or where the arm was slower
	// too "arm, grip and hand".
	Rest string `json:"rest"`
	// What is said of it in her unit: the gap, and its two parts in whole numbers that add
	// up to it, for whoever says it in other words.
	GapSaid            string  `json:"gapSaid"`
	LegsSaid, HandSaid float64 `json:"-"`
	// The gap in her unit, and its two parts in whole numbers that add up to the gap's,
	// with their ranges: "9.3 mph", "legs about 5 mph (4 to 6)", "grip and hand about
	// 4 mph (2 to 6)".
	GapWords  string `json:"gapWords"`
	LegsWords string `json:"legsWords"`
	RestWords string `json:"restWords"`
	// Line is a short line for a caption, where it stands below one rep's own gap: "all
	// change-ups: mean gap 9.3, legs about 5, grip and hand about 4".
	Line string `json:"line"`
	// Rule says in plain words by what rule the gap is divided.
	Rule string `json:"rule"`
	// Sentence says it in words, the rule included.
	Sentence string `json:"sentence"`
}

// Divide splits the gap by the legs' contrast. Body is negative when the legs were
// faster than on the fastballs.
func Divide(g MeanGap, legs Contrast) Split {
	lost := func(log float64) bullpen.Speed { return g.Baseline * bullpen.Speed(-math.Expm1(-log)) }
	s := Split{Gap: g.Gap, Body: lost(legs.Log), BodyLo: lost(legs.Lo()), BodyHi: lost(legs.Hi())}
	s.Hand = s.Gap - s.Body
	// The gap's own uncertainty is the gun's, independent of the film's.
	gap := 1.96 * float64(g.U)
	s.HandLo = s.Hand - bullpen.Speed(math.Hypot(float64(s.BodyHi-s.Body), gap))
	s.HandHi = s.Hand + bullpen.Speed(math.Hypot(float64(s.Body-s.BodyLo), gap))
	if g.Gap > 0 {
		s.BodyShare = min(max(100*float64(s.Body/g.Gap), 0), 100)
	}
	return s
}
