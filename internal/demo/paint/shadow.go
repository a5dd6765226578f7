package paint

import (
	"math"

	"tenoff/internal/demo/motion"
)

// The sun stands up and behind the camera's left shoulder: a point's shadow
// falls this far aside for every metre of its height.
const (
	shadowX = 0.62
	shadowY = 0.34
	umbra   = 92 // of 256 parts of the light, what a shadow takes
)

// shade collects how much of a box of the picture lies in shadow.
type shade struct {
	box   rect
	cover []byte
}

// shadowBones returns the lines of a body that throw its shadow, with their radii.
func shadowBones(j motion.Joints) []bone {
	b := []bone{
		{j.Pelvis, j.Chest, .14, .15}, {j.Head, j.Head.Add(j.Crown.Mul(.06)), .11, .10},
		{j.Shoulder[0], j.Shoulder[1], .07, .07}, {j.Chest, j.Head, .06, .06},
	}
	for s := range 2 {
		b = append(b,
			bone{j.Hip[s], j.Knee[s], .10, .07}, bone{j.Knee[s], j.Ankle[s], .06, .05}, bone{j.Heel[s], j.Toe[s], .05, .04},
			bone{j.Shoulder[s], j.Elbow[s], .06, .045}, bone{j.Elbow[s], j.Grip[s], .045, .04})
	}
	return b
}

func ground(v motion.Vec) motion.Vec {
	return motion.Vec{X: v.X + v.Z*shadowX, Y: v.Y + v.Z*shadowY}
}

// castShadow darkens the ground where the bodies stand in the sun's way, softly.
func castShadow(c *Canvas, cam Camera, bodies []motion.Joints) {
	for _, body := range bodies {
		var caps []capsule
		var box rect
		for _, b := range shadowBones(body) {
			s, _, ok := cam.limb(ground(b.a), ground(b.b), b.ra, b.rb)
			if !ok {
				continue
			}
			// A shadow lies flat: seen from the side it is thinner than the limb.
			s.ra, s.rb = s.ra*.55, s.rb*.55
			caps = append(caps, s)
			box = box.union(s.bounds())
		}
		box = box.clip(c.W, c.H).even()
		if box.empty() {
			continue
		}
		sh := shade{box: box, cover: make([]byte, (box.x1-box.x0)*(box.y1-box.y0))}
		for _, s := range caps {
			sh.add(s)
		}
		sh.darken(c)
	}
}

func (s *shade) add(c capsule) {
	box := c.bounds()
	b := rect{max(box.x0, s.box.x0), max(box.y0, s.box.y0), min(box.x1, s.box.x1), min(box.y1, s.box.y1)}
	soft := max(1.5, .5*max(c.ra, c.rb))
	dx, dy := c.b.x-c.a.x, c.b.y-c.a.y
	inv := 0.0
	if n2 := dx*dx + dy*dy; n2 > 1e-9 {
		inv = 1 / n2
	}
	w := s.box.x1 - s.box.x0
	for y := b.y0; y < b.y1; y++ {
		x0, x1 := c.row(y, b)
		row := s.cover[(y-s.box.y0)*w:]
		for x := x0; x < x1; x++ {
			px, py := float64(x)+.5-c.a.x, float64(y)+.5-c.a.y
			t := min(max((px*dx+py*dy)*inv, 0), 1)
			r := c.ra + (c.rb-c.ra)*t
			d := math.Hypot(px-dx*t, py-dy*t)
			a := (r-d)/soft + .5
			if a <= 0 {
				continue
			}
			if v := byte(min(a, 1) * 255); v > row[x-s.box.x0] {
				row[x-s.box.x0] = v
			}
		}
	}
}

func (s *shade) darken(c *Canvas) {
	w := s.box.x1 - s.box.x0
	for y := s.box.y0; y < s.box.y1; y++ {
		line := c.Y[y*c.W+s.box.x0 : y*c.W+s.box.x1]
		cover := s.cover[(y-s.box.y0)*w : (y-s.box.y0+1)*w]
		for x, a := range cover {
			if a > 0 {
				k := 256 - umbra*int(a)/255
				line[x] = byte(16 + (int(line[x])-16)*k>>8)
			}
		}
	}
}
