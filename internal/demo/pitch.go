package demo

import (
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo/motion"
)

const gravity = 9.80665

// pitch is a ball on its way from hand to glove.
type pitch struct {
	release  float64 // s
	from, to motion.Vec
	way      bullpen.Way
	speed    bullpen.Speed
	flight   float64 // s
	missed   bool
	returned float64 // when it is thrown back, 0 never
	caught   float64 // when she has it, or a new one
	taken    float64 // when it goes from glove to hand
	bucket   bool
}

// newPitch sends a ball from hand to glove by the drag model along the ground,
// and by gravity alone up and down.
func newPitch(release float64, from, to motion.Vec, speed bullpen.Speed) pitch {
	ball, _ := bullpen.BallKindOf(ballKind)
	p := pitch{release: release, from: from, to: to, speed: speed}
	p.way = bullpen.Way{Metres: math.Hypot(to.X-from.X, to.Y-from.Y), Drag: ball.Drag(bullpen.SeaLevel)}
	p.flight = p.way.Seconds(speed)
	return p
}

// at returns where the ball is s seconds after release.
func (p pitch) at(s float64) motion.Vec {
	share := p.way.MetresAfter(p.speed, s) / p.way.Metres
	climb := (p.to.Z-p.from.Z)/p.flight + gravity*p.flight/2
	v := p.from.Lerp(p.to, share)
	v.Z = max(p.from.Z+climb*s-gravity*s*s/2, .05)
	return v
}

// thrownBack returns where the ball is on its way from the catcher's hand back
// to the glove, at a share of the way.
func thrownBack(from, to motion.Vec, seconds, share float64) motion.Vec {
	v := from.Lerp(to, share)
	s := share * seconds
	v.Z += gravity * s * (seconds - s) / 2
	return v
}

// target decides where a pitch is caught.
func target(d dice, call bullpen.Call, plate float64) motion.Vec {
	behind := plate + gloveBehind + .15*min(max(d.NormFloat64(), -2.5), 2.5)
	y, z := d.between(-.2, .2), d.between(.42, .82)
	wide := call == bullpen.Ball
	if call == bullpen.NoCall {
		wide = d.IntN(4) == 0
	}
	if wide {
		y += math.Copysign(.32, y)
	}
	return motion.Vec{X: behind, Y: y, Z: z}
}
