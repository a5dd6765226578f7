package tempo

import (
	"math"

	"tenoff/internal/bullpen"
)

// Split divides a gap between the body and the hand, each with a range. It is a
// rule of proportion, not a measurement: if ball speed followed the legs' speed
// one for one, a body at 90 % of a 55 mph fastball would give up 5.5 mph, and
// grip and hand the rest.
type Split struct {
	Gap            bullpen.Speed
	Body, Hand     bullpen.Speed // Body + Hand = Gap
	BodyLo, BodyHi bullpen.Speed
	HandLo, HandHi bullpen.Speed
}

// Divide splits the gap under baseline by the legs' contrast. Body is negative
// when the legs were faster than on the fastballs; a picture shows that as none.
func Divide(baseline, gap bullpen.Speed, legs Contrast) Split {
	lost := func(log float64) bullpen.Speed { return baseline * bullpen.Speed(-math.Expm1(-log)) }
	s := Split{Gap: gap, Body: lost(legs.Log), BodyLo: lost(legs.Lo()), BodyHi: lost(legs.Hi())}
	s.Hand, s.HandLo, s.HandHi = gap-s.Body, gap-s.BodyHi, gap-s.BodyLo
	return s
}
