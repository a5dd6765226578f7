package demo

import (
	"sort"

	"tenoff/internal/demo/motion"
)

// ball says where the ball is: in her hand or glove, in flight, with the
// catcher, or nowhere to be seen.
func (t *Take) ball(s float64, bodies []motion.Joints) (motion.Vec, bool) {
	hand, glove := bodies[0].Grip[motion.Throw], bodies[0].Grip[motion.Glove]
	i := sort.Search(len(t.pitches), func(i int) bool { return t.pitches[i].release > s }) - 1
	if i < 0 {
		return hand, true
	}
	p := t.pitches[i]
	since := s - p.release
	switch {
	case p.caught > 0 && s >= p.taken, p.bucket && p.caught > 0 && s >= p.caught:
		return hand, true
	case p.caught > 0 && s >= p.caught:
		return passed(glove, hand, p.taken, s), true
	case since < p.flight:
		return p.at(since), true
	case p.returned > 0 && s >= p.returned:
		return t.comingBack(p, s)
	case p.missed:
		v := p.at(since)
		return v, !p.bucket && v.X < backstop
	case t.catcher > 0:
		catcher := bodies[t.catcher]
		if p.returned == 0 {
			return catcher.Grip[motion.Glove], true
		}
		return passed(catcher.Grip[motion.Glove], catcher.Grip[motion.Throw], p.returned-.1, s), true
	}
	return motion.Vec{}, false
}

// passed returns where a ball is that goes from glove to hand in the last moment
// before until.
func passed(glove, hand motion.Vec, until, s float64) motion.Vec {
	k := min(max((s-until)/.14+1, 0), 1)
	return glove.Lerp(hand, k*k*(3-2*k))
}

// backstop is how far away a missed ball ends, metres from the rubber.
const backstop = 19.0

// comingBack returns where the ball is on its way back.
func (t *Take) comingBack(p pitch, s float64) (motion.Vec, bool) {
	to := t.pitcher.Joints(p.caught).Grip[motion.Glove]
	from := motion.Vec{X: t.plate + 1, Z: 1.5}
	if t.catcher > 0 {
		from = t.players[t.catcher].Actor.Joints(p.returned).Grip[motion.Throw]
	}
	return thrownBack(from, to, p.caught-p.returned, (s-p.returned)/(p.caught-p.returned)), true
}
