package posture

import (
	"math"
	"strconv"

	"tenoff/internal/bullpen"
)

// Lines are what is drawn of her trunk and her hips over one frame.
type Lines struct {
	// Trunk goes from the middle of her hips to the middle of her shoulders, Hips from her
	// left hip to her right one.
	Trunk, Hips [2]Point
	Lean        Measure // of the trunk forward from upright, degrees, as the camera sees it
	// HipsWide is how wide her hips look, as a share of the widest that they do in this
	// delivery until release: from the side they are narrow closed and wide open.
	HipsWide float64
}

// LeanSaid says the lean in whole degrees, one that is backward with a minus.
func (l Lines) LeanSaid() string {
	return bullpen.Minus(strconv.FormatFloat(math.Round(l.Lean.Value)+0, 'f', 0, 64))
}

// LinesAt returns the lines at a real second of the film, of a delivery that is released
// at another; ok is false where shoulders and hips are not seen. Joints are smoothed, as
// what is measured is.
func (b *Body) LinesAt(seconds, release float64) (l Lines, ok bool) {
	if !b.sees(seconds, jointSure, LeftShoulder, RightShoulder, LeftHip, RightHip) {
		return l, false
	}
	at := func(j Joint) Point {
		p := b.joints[j]
		return Point{X: b.Forward * b.between(p.x, seconds) * b.Torso, Y: -b.between(p.y, seconds) * b.Torso, Sure: 1}
	}
	middle := func(p, q Point) Point { return Point{X: (p.X + q.X) / 2, Y: (p.Y + q.Y) / 2, Sure: 1} }
	l.Hips = [2]Point{at(LeftHip), at(RightHip)}
	l.Trunk = [2]Point{middle(l.Hips[0], l.Hips[1]), middle(at(LeftShoulder), at(RightShoulder))}
	l.Lean = b.measure(lean, seconds, 0)
	widths, _ := b.all(width)
	widest := 0.0
	for i := b.index(release - leadOfOpen); i <= b.index(release); i++ {
		widest = max(widest, math.Abs(widths[i]))
	}
	if widest > 0 {
		l.HipsWide = min(math.Abs(b.between(widths, seconds))/widest, 1)
	}
	return l, true
}
