package motion

import "math"

// together is where both hands meet before a pitch, from the shoulder: forward,
// inward, up.
var together = Vec{0.29, 0.15, -0.26}

// hand brings a hand to a place given from its shoulder, forward, inward and up,
// while the body faces yaw.
func (s *script) hand(at float64, side side, yaw float64, to Vec) {
	inward := to.Y
	if side == left {
		inward = -inward
	}
	swing, plane, flex := reach(Vec{}, Vec{to.X, inward, to.Z})
	if to.X < 0 && math.Abs(to.X) > math.Abs(to.Y) { // behind: swing back rather than turn round
		swing, plane = -swing, plane+math.Pi
	}
	plane = math.Remainder(plane, 2*math.Pi) + yaw
	s.set(arm(side, armSwing), at, swing+float64(s.turns[side])*2*math.Pi)
	s.set(arm(side, armYaw), at, plane)
	s.set(arm(side, armFlex), at, flex)
}
