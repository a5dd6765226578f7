package paint

import (
	"cmp"
	"math"
	"slices"

	"tenoff/internal/demo/motion"
)

// Player is somebody in the picture.
type Player struct {
	Actor *motion.Actor
	Dress Dress
}

// BallAt says where the ball is at a time, given everybody's joints then, in the
// order of the stage's players; ok is false while it is out of sight.
type BallAt func(t float64, bodies []motion.Joints) (at motion.Vec, ok bool)

// Stage is everything that is drawn: it may be used by several goroutines, each
// with an Easel of its own.
type Stage struct {
	Camera   Camera
	Backdrop *Backdrop
	Players  []Player
	Props    []Prop
	Ball     BallAt // nil: no ball
	Grain    *Grain // nil: none
	Gray     bool
	W, H     int
}

// Frame says how one picture is taken.
type Frame struct {
	Index   int     // picks the grain
	Time    float64 // the middle of the exposure, seconds
	Shutter float64 // seconds
	Shake   Shake
	Sway    float64 // of the trees, pixels
	Gain    float64 // of the light; 0 is 1
	Number  int     // burnt in, unless negative
}

// Easel is what a goroutine draws on.
type Easel struct {
	Canvas *Canvas
	spare  *Canvas
	sum    []uint16
}

// NewEasel returns an easel of the stage's size.
func (s *Stage) NewEasel() *Easel {
	e := &Easel{Canvas: NewCanvas(s.W, s.H, s.Gray), spare: NewCanvas(s.W, s.H, s.Gray)}
	e.sum = make([]uint16, len(e.Canvas.Bytes()))
	return e
}

// Draw takes the picture f onto the easel's canvas.
func (s *Stage) Draw(e *Easel, f Frame) {
	c := e.Canvas
	s.Backdrop.lay(c, f.Shake, f.Sway)
	cam := s.Camera.Moved(f.Shake)
	bodies := s.bodies(f.Time)
	castShadow(c, cam, bodies)
	n := s.exposures(cam, f)
	if n == 1 {
		for _, p := range s.pieces(cam, f.Time) {
			p.paint(c)
		}
	} else {
		s.blur(e, cam, f, n)
	}
	if gain := f.Gain; s.Grain != nil {
		if gain == 0 {
			gain = 1
		}
		s.Grain.add(c, f.Index, gain)
	}
	if f.Number >= 0 {
		stamp(c, f.Number)
	}
}

func (s *Stage) bodies(t float64) []motion.Joints {
	out := make([]motion.Joints, len(s.Players))
	for i, p := range s.Players {
		out[i] = p.Actor.Joints(t)
	}
	return out
}

// pieces returns everything that moves, the farthest first.
func (s *Stage) pieces(cam Camera, t float64) []piece {
	bodies := s.bodies(t)
	var all []piece
	for _, p := range s.Props {
		if piece, ok := p.piece(cam); ok {
			all = append(all, piece)
		}
	}
	for i, p := range s.Players {
		f := figure{camera: cam, dress: p.Dress, body: bodies[i]}
		if p.Dress.Ponytail {
			f.tail = p.Actor.Joints(t - 0.08).Head
		}
		all = append(all, f.cut()...)
	}
	if s.Ball != nil {
		if at, ok := s.Ball(t, bodies); ok {
			if p, ok := ball(cam, at, .012); ok {
				all = append(all, p)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b piece) int { return cmp.Compare(b.depth, a.depth) })
	return all
}

// exposures returns of how many instants a picture is made up: one when nothing
// moves visibly while the shutter is open, more the farther a hand goes.
func (s *Stage) exposures(cam Camera, f Frame) int {
	a, b := s.bodies(f.Time-f.Shutter/2), s.bodies(f.Time+f.Shutter/2)
	var most float64
	far := func(p, q motion.Vec) {
		pp, _, ps := cam.project(p)
		qq, _, qs := cam.project(q)
		if ps == 0 || qs == 0 {
			return
		}
		if d := math.Hypot(pp.x-qq.x, pp.y-qq.y); d > 1.2 {
			// Steps of at most half a limb's breadth, or two pixels.
			most = max(most, min(p.Sub(q).Len()/.035, d/2))
		}
	}
	for i := range a {
		for side := range 2 {
			far(a[i].Grip[side], b[i].Grip[side])
			far(a[i].Knee[side], b[i].Knee[side])
			far(a[i].Toe[side], b[i].Toe[side])
		}
		far(a[i].Head, b[i].Head)
	}
	if s.Ball != nil {
		p, okP := s.Ball(f.Time-f.Shutter/2, a)
		q, okQ := s.Ball(f.Time+f.Shutter/2, b)
		if okP && okQ {
			far(p, q)
		}
	}
	return min(max(int(math.Ceil(most)), 1), 9)
}

// blur draws n instants of the exposure and leaves their mean.
func (s *Stage) blur(e *Easel, cam Camera, f Frame, n int) {
	sets := make([][]piece, n)
	var box rect
	for k := range n {
		t := f.Time + f.Shutter*((float64(k)+.5)/float64(n)-.5)
		sets[k] = s.pieces(cam, t)
		for _, p := range sets[k] {
			box = box.union(p.shape.bounds())
		}
	}
	box = box.clip(s.W, s.H).even()
	for k, set := range sets {
		e.spare.copyBox(e.Canvas, box)
		for _, p := range set {
			p.paint(e.spare)
		}
		e.gather(box, k == 0)
	}
	e.mean(box, n)
}

// gather adds the spare canvas to the sum.
func (e *Easel) gather(box rect, first bool) {
	start := 0
	for i, p := range e.spare.planes() {
		b := box
		if i > 0 {
			b = box.half()
		}
		for y := b.y0; y < b.y1; y++ {
			from, to := y*p.w+b.x0, y*p.w+b.x1
			sum := e.sum[start+from : start+to]
			for x, v := range p.pix[from:to] {
				if first {
					sum[x] = uint16(v)
				} else {
					sum[x] += uint16(v)
				}
			}
		}
		start += p.w * p.h
	}
}

// mean writes the sum of n pictures, divided, onto the canvas.
func (e *Easel) mean(box rect, n int) {
	start := 0
	for i, p := range e.Canvas.planes() {
		b := box
		if i > 0 {
			b = box.half()
		}
		for y := b.y0; y < b.y1; y++ {
			from, to := y*p.w+b.x0, y*p.w+b.x1
			sum := e.sum[start+from : start+to]
			out := p.pix[from:to]
			for x, v := range sum {
				out[x] = byte((int(v) + n/2) / n)
			}
		}
		start += p.w * p.h
	}
}
