package paint

import (
	"math"

	"tenoff/internal/demo/motion"
)

// Camera is a pinhole.
type Camera struct {
	eye                motion.Vec
	right, down, ahead motion.Vec
	focal              float64 // pixels
	cx, cy             float64 // the picture's middle, pixels
	held               Shake
}

// Shake is how the picture has moved from where the camera stood at first.
type Shake struct {
	DX, DY float64 // pixels to the right and down
	Roll   float64 // radians, clockwise
	Zoom   float64 // a share: 0.01 is one per cent bigger
}

func (s Shake) still() bool { return s == Shake{} }

// shift returns how far the picture's content at (x, y) off the middle has moved.
func (s Shake) shift(x, y float64) (dx, dy float64) {
	return s.DX + s.Zoom*x - s.Roll*y, s.DY + s.Zoom*y + s.Roll*x
}

// NewCamera returns a camera at eye that looks at target, in a picture of w by h
// pixels, such that span metres at the target's distance fill the height.
func NewCamera(eye, target motion.Vec, w, h int, span float64) Camera {
	ahead := target.Sub(eye).Unit()
	right := ahead.Cross(motion.Vec{Z: 1}).Unit()
	return Camera{
		eye: eye, ahead: ahead, right: right, down: ahead.Cross(right),
		focal: float64(h) * target.Sub(eye).Len() / span,
		cx:    float64(w) / 2, cy: float64(h) / 2,
	}
}

// Moved returns the camera with its picture moved.
func (c Camera) Moved(s Shake) Camera {
	c.held = s
	return c
}

// project returns where a point is seen, its distance along the view, and how
// many pixels a metre is there. scale is 0 for a point behind the camera.
func (c Camera) project(v motion.Vec) (p point, depth, scale float64) {
	d := v.Sub(c.eye)
	depth = d.Dot(c.ahead)
	if depth < 0.2 {
		return point{}, depth, 0
	}
	scale = c.focal / depth
	x, y := d.Dot(c.right)*scale, d.Dot(c.down)*scale
	dx, dy := c.held.shift(x, y)
	return point{c.cx + x + dx, c.cy + y + dy}, depth, scale
}

// Project returns where a point is seen, in pixels, and false if it is behind
// the camera.
func (c Camera) Project(v motion.Vec) (x, y float64, ok bool) {
	p, _, scale := c.project(v)
	return p.x, p.y, scale > 0
}

// ray returns the direction seen at a place of the unmoved picture.
func (c Camera) ray(x, y float64) motion.Vec {
	return c.ahead.Add(c.right.Mul((x - c.cx) / c.focal)).Add(c.down.Mul((y - c.cy) / c.focal)).Unit()
}

// limb projects a limb; ok is false if an end is behind the camera.
func (c Camera) limb(a, b motion.Vec, ra, rb float64) (s capsule, depth float64, ok bool) {
	pa, da, sa := c.project(a)
	pb, db, sb := c.project(b)
	if sa == 0 || sb == 0 {
		return capsule{}, 0, false
	}
	return capsule{pa, pb, ra * sa, rb * sb}, (da + db) / 2, !math.IsNaN(da + db)
}
