// Package posturetest makes joints of a pitcher who never was, for tests: a trunk that
// leans, hips that open, a foot that lands, and an arm that turns.
package posturetest

import (
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
)

// Swing is one delivery. Its instants follow from the release: the arm turns at 1000
// degrees a second, straight up 180 ms before it, and the front foot lands 80 ms before it.
type Swing struct {
	Release  float64 // real seconds of the film
	Leftward bool    // she pitches to the picture's left
	Left     bool    // with her left hand
	Lean     float64 // of her trunk over the front leg, degrees
	Foot     float64 // by how much later her front foot lands, seconds
	Stride   float64 // torso lengths by which her feet are further apart
}

// Times of a Swing before its release, seconds.
const (
	Top   = 0.18
	Plant = 0.08
)

// Torso is how long her trunk is, in heights of the picture.
const Torso = 0.2

// Track returns where her joints are in the frames of a film from one to another.
func (s Swing) Track(c bullpen.Clock, from, to int) posture.Track {
	var out posture.Track
	for frame := from; frame <= to; frame++ {
		out = append(out, s.pose(frame, c.RealSeconds(0, frame)))
	}
	return out
}

func (s Swing) pose(frame int, at float64) posture.Pose {
	t := at - s.Release
	p := posture.Pose{Frame: frame, Seconds: at}
	put := func(j posture.Joint, x, y float64) {
		if s.Left {
			j = j.Other()
		}
		if s.Leftward {
			x = -x
		}
		p.Points[j] = posture.Point{X: 1 + x, Y: y, Sure: 0.9}
	}
	const hipsAt = 0.6
	sin, cos := math.Sincos(s.Lean * math.Pi / 180)
	hips := 0.3 / (1 + math.Exp(-12*(t+0.28)))
	shoulder := hips + Torso*sin
	neck := hipsAt - Torso*cos
	wide := 0.01 + 0.03/(1+math.Exp(-20*(t+0.3)))
	put(posture.LeftShoulder, shoulder, neck)
	put(posture.RightShoulder, shoulder, neck)
	put(posture.LeftHip, hips+wide, hipsAt)
	put(posture.RightHip, hips-wide, hipsAt)
	put(posture.LeftKnee, hips+0.1, 0.75)
	put(posture.RightKnee, hips-0.1, 0.75)
	put(posture.LeftAnkle, (0.5+s.Stride*Torso)*min(max((t+Plant+0.4-s.Foot)/0.4, 0), 1), 0.9)
	put(posture.RightAnkle, 0, 0.9)
	arm := min(max(360+1000*t, -30), 450) * math.Pi / 180
	put(posture.RightElbow, shoulder+0.1*math.Sin(arm), neck+0.1*math.Cos(arm))
	put(posture.RightWrist, shoulder+0.2*math.Sin(arm), neck+0.2*math.Cos(arm))
	put(posture.LeftElbow, shoulder+0.1, 0.5)
	put(posture.LeftWrist, shoulder+0.2, 0.5)
	return p
}
