package motion

import "math"

// Catch is one ball that comes to a catcher and goes back.
type Catch struct {
	At     float64 // seconds into the film
	Where  Vec     // of the ball when it is caught
	Missed bool    // she reaches for it too late
	Return float64 // when she throws it back; 0 never
}

// NewCatcher returns a catcher who crouches at a point and faces -x.
func NewCatcher(at Vec, catches []Catch) (*Actor, error) {
	var s script
	p := place{at: at, yaw: math.Pi, size: 1}
	s.crouch(-10)
	var still [channels]float64
	for c := range still {
		still[c] = s.last(channel(c))
	}
	ready := joints(&still).Shoulder[left].Add(Vec{.40, -.10, -.10})
	// glove brings the mitt to a target and shifts the body after it.
	glove := func(t float64, target Vec) {
		v := still
		off := target.Sub(ready)
		v[pelvisX] += .8 * off.X
		v[pelvisY] += .8 * off.Y
		s.set(pelvisX, t, v[pelvisX])
		s.set(pelvisY, t, v[pelvisY])
		swing, yaw, flex := reach(joints(&v).Shoulder[left], target)
		s.set(arm(left, armSwing), t, swing)
		s.set(arm(left, armYaw), t, yaw)
		s.set(arm(left, armFlex), t, flex)
	}
	glove(-10, ready)
	for _, c := range catches {
		target := p.local(c.Where)
		if c.Missed {
			target = target.Lerp(ready, .6)
		}
		glove(c.At-.30, ready)
		glove(c.At, target)
		glove(c.At+.06, target.Add(Vec{-.05, 0, -.01})) // the ball pushes the mitt back
		glove(c.At+.25, ready)
		if c.Return > 0 {
			s.throwBack(c.At, c.Return)
		}
	}
	return newActor(&s, p, nil)
}

func (s *script) crouch(at float64) {
	s.set(pelvisX, at, -.10)
	s.set(pelvisY, at, 0)
	s.set(pelvisZ, at, .38)
	s.upright(at, 0, 30*degree)
	s.put(left, at, Vec{.02, .27, 0}, 28*degree, 30*degree)
	s.put(right, at, Vec{.02, -.27, 0}, -28*degree, 30*degree)
	s.hand(at, right, 0, Vec{.02, -.08, -.46})
}

// throwBack stands half up, throws overhand and crouches again.
func (s *script) throwBack(caught, at float64) {
	rise := max(at-.55, caught+.02)
	s.hold(rise, pelvisZ, leanX)
	s.hold(rise, arm(right, armSwing), arm(right, armYaw), arm(right, armFlex))
	s.set(pelvisZ, at-.12, .68)
	s.set(leanX, at-.12, 8*degree)
	s.set(pelvisZ, at+.10, .66)
	s.set(leanX, at+.10, 24*degree)
	set := func(t, swing, yaw, flex float64) {
		s.set(arm(right, armSwing), t, swing*degree)
		s.set(arm(right, armYaw), t, yaw*degree)
		s.set(arm(right, armFlex), t, flex*degree)
	}
	set(at-.22, 190, -30, 80)
	set(at, 140, -10, 15)
	set(at+.15, 50, 10, 20)
	s.set(pelvisZ, at+.75, .38)
	s.set(leanX, at+.75, 30*degree)
	s.hand(at+.6, right, 0, Vec{.02, -.08, -.46})
}
