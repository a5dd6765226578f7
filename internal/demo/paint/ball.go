package paint

import "tenoff/internal/demo/motion"

// ballRadius is that of a 12-inch ball, 12 in / (2 pi), in metres.
const ballRadius = 0.0485

// ball returns the ball's piece.
func ball(c Camera, at motion.Vec, near float64) (piece, bool) {
	s, depth, ok := c.limb(at, at, ballRadius, ballRadius)
	return newCapsulePiece(s, Ball(), depth-near), ok
}
