package paint

// shape is what a figure is made of.
type shape interface {
	bounds() rect
	draw(p plane, value float32, shaded bool)
}

// piece is a shape with its colour and its distance from the camera.
type piece struct {
	shape shape
	small shape // the same at half size, for chroma
	color Color
	depth float64
}

func newCapsulePiece(c capsule, color Color, depth float64) piece {
	return piece{shape: c, small: c.scaled(.5), color: color, depth: depth}
}

func newBlobPiece(b blob, color Color, depth float64) piece {
	return piece{shape: b, small: b.scaled(.5), color: color, depth: depth}
}

// paint draws the piece.
func (p piece) paint(c *Canvas) {
	p.shape.draw(plane{c.Y, c.W, c.H}, p.color.Y, true)
	if c.U != nil {
		p.small.draw(plane{c.U, c.W / 2, c.H / 2}, p.color.U, false)
		p.small.draw(plane{c.V, c.W / 2, c.H / 2}, p.color.V, false)
	}
}
