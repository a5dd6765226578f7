package paint

import "tenoff/internal/demo/motion"

// Bucket is a bucket of balls that stands on the ground, within reach of her
// throwing hand but on the far side of her from the camera.
func Bucket(flip bool) []Prop {
	foot := motion.Vec{X: .22, Y: .42, Z: .14}
	if flip {
		foot.Y = -foot.Y
	}
	top := foot.Add(motion.Vec{Z: .10})
	props := []Prop{{foot, top, .12, .135, RGB(206, 208, 212)}}
	for i, at := range []motion.Vec{{X: -.09, Z: .10}, {X: -.03, Z: .135}, {X: .05, Z: .13}, {X: .10, Z: .09}, {X: .01, Z: .17}} {
		at.Y = .02 * float64(i%3)
		if flip {
			at.Y = -at.Y
		}
		at = top.Add(at)
		props = append(props, Prop{at, at, ballRadius, ballRadius, Ball()})
	}
	return props
}

// Prop is a thing that stands still: a limb without a body.
type Prop struct {
	A, B   motion.Vec
	Ra, Rb float64 // metres
	Color  Color
}

// piece returns the prop as a camera sees it.
func (p Prop) piece(c Camera) (piece, bool) {
	s, depth, ok := c.limb(p.A, p.B, p.Ra, p.Rb)
	return newCapsulePiece(s, p.Color, depth), ok
}
