package motion

import (
	"math"
	"math/rand/v2"
)

// Source is where her next ball comes from.
type Source int

// The sources of a ball.
const (
	NoBall     Source = iota // she pitches without one
	ThrownBack               // the catcher throws it to her glove
	FromBucket               // she takes one from the bucket beside the rubber
)

// Between says what she does from one pitch to the next.
type Between struct {
	Ball     Source
	Turn     bool // she turns round to walk back
	Restless bool // she swings and wipes her arm
	Dice     *rand.Rand
}

// Handling is when she has the next ball, in seconds.
type Handling struct {
	Caught float64 // the glove closes on the ball that comes back, or she lifts one from the bucket
	Taken  float64 // hands together
}

// rest writes what happens from time from, when a delivery has come to its end,
// to time to, when the next one begins. It needs at least two seconds to look
// like anything.
func (s *script) rest(from, to float64, next Vec, b Between) Handling {
	span := to - from
	at := func(share float64) float64 { return from + share*span }
	all := make([]channel, channels)
	for c := range all {
		all[c] = channel(c)
	}
	s.hold(from+0.02*span, all...)
	feet := stance{
		left:  Vec{s.last(foot(left, footX)), s.last(foot(left, footY)), 0},
		right: Vec{s.last(foot(right, footX)), s.last(foot(right, footY)), 0},
	}
	h := Handling{Caught: at(.30), Taken: at(.86)}
	s.upright(at(.08), 0, 3*degree)
	if b.Ball == ThrownBack {
		d := b.Dice
		up := -.12 + .25*d.Float64()
		s.hand(at(.17), left, 0, Vec{.30, .02, -.26})
		s.hand(at(.265), left, 0, Vec{.46, .04, up})
		s.hand(h.Caught, left, 0, Vec{.44, .04, up})
		s.hand(at(.34), left, 0, Vec{.30, .06, up - .14})
		s.hand(h.Caught, right, 0, Vec{.26, .06, -.26})
		s.hand(at(.36), right, 0, Vec{.22, .08, -.30})
	}
	s.put(left, at(.37), feet.left, -20*degree, 0)
	s.put(right, at(.37), feet.right, -6*degree, 0)
	s.hold(at(.37), pelvisX, pelvisY, pelvisZ)

	yaw, walkFrom, walkTo := 0.0, .38, .75
	if b.Turn {
		yaw = math.Pi
		if b.Dice.IntN(2) == 0 {
			yaw = -math.Pi
		}
		walkFrom, walkTo = .42, .73
		s.upright(at(.36), 0, 3*degree)
	}
	s.upright(at(walkFrom+.02), yaw, 4*degree)
	stand := rubber(next)
	s.walk(at(walkFrom), at(walkTo), feet, stand, yaw)
	s.upright(at(walkTo), yaw, 4*degree)
	if b.Restless {
		s.fidget(at(walkTo+.01), at(.81), yaw, b.Dice)
	}
	if b.Ball == FromBucket {
		h.Caught = at(.79)
		s.bend(at(walkTo+.01), h.Caught, at(.84))
	}
	s.upright(at(.85), 0, 4*degree)
	s.put(left, at(.85), stand.left, -4*degree, 12*degree)
	s.put(right, at(.85), stand.right, -8*degree, 0)
	for _, side := range []side{left, right} {
		s.hand(h.Taken, side, 0, together)
		s.hand(to, side, 0, together)
	}
	s.set(pelvisX, at(.86), -.13+next.X)
	s.set(pelvisY, at(.86), next.Y)
	s.set(pelvisZ, at(.86), .87)
	return h
}

// fidget swings the pitching arm in big arcs, as between pitches.
func (s *script) fidget(from, to, yaw float64, d *rand.Rand) {
	n := 2 + d.IntN(3)
	for i := range n {
		t := from + (to-from)*(float64(i)+.5)/float64(n)
		s.hand(t, right, yaw, Vec{.15 + .4*d.Float64(), -.25 * d.Float64(), -.5 + .8*d.Float64()})
	}
}

// bend reaches down to the bucket beside the rubber and comes up again.
func (s *script) bend(from, low, to float64) {
	s.hold(from, leanX, leanY, pelvisZ)
	s.set(leanY, low, 10*degree)
	s.set(leanY, to, 0)
	s.set(leanX, low, 52*degree)
	s.set(pelvisZ, low, .70)
	s.hand(low, right, 0, Vec{.24, .34, -.40})
	s.set(leanX, to, 5*degree)
	s.set(pelvisZ, to, .87)
}
