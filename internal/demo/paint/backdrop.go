package paint

import (
	"encoding/binary"
	"math"
	"runtime"

	"golang.org/x/sync/errgroup"
)

// Park says what the ball park looks like.
type Park struct {
	Seed  uint64
	Plate float64 // metres from the front of the rubber to the plate's rear point
	Plain bool    // field, fence and sky only
	Net   bool    // a net stands where the catcher would
	Flip  bool    // the camera is a left-hander's
}

// Backdrop is the park as one camera sees it, with a margin to move in.
type Backdrop struct {
	wide   *Canvas
	margin int
	trees  int // rows of the picture above this one may sway
}

// NewBackdrop draws the park once, for a picture of w by h pixels that will move
// by up to margin pixels.
func NewBackdrop(c Camera, w, h, margin int, gray bool, p Park) *Backdrop {
	margin = (margin + 2) &^ 1
	b := &Backdrop{wide: NewCanvas(w+2*margin, h+2*margin, gray), margin: margin}
	land := world{seed: uint32(p.Seed) ^ uint32(p.Seed>>32), plate: p.Plate, plain: p.Plain, net: p.Net, flip: p.Flip}
	b.trees = int(c.cy - c.focal*.02)
	pixel := 1 / c.focal
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for y := 0; y < b.wide.H; y += 2 {
		g.Go(func() error {
			b.rows(c, y, land, pixel)
			return nil
		})
	}
	_ = g.Wait() // no row can fail
	return b
}

// rows draws rows y and y+1: each pixel the mean of four looks.
func (b *Backdrop) rows(c Camera, y int, land world, pixel float64) {
	at := func(x, y int) Color {
		var sum Color
		for _, o := range [4]point{{.25, .35}, {.75, .15}, {.35, .85}, {.85, .65}} {
			dir := c.ray(float64(x-b.margin)+o.x, float64(y-b.margin)+o.y)
			k := land.look(c.eye, dir, pixel)
			sum.Y, sum.U, sum.V = sum.Y+k.Y/4, sum.U+k.U/4, sum.V+k.V/4
		}
		return sum
	}
	w := b.wide.W
	for x := 0; x < w; x += 2 {
		var u, v float32
		for _, o := range [4][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
			k := at(x+o[0], y+o[1])
			b.wide.Y[(y+o[1])*w+x+o[0]] = clip(k.Y)
			u, v = u+k.U/4, v+k.V/4
		}
		if b.wide.U != nil {
			b.wide.U[y/2*(w/2)+x/2] = clip(u)
			b.wide.V[y/2*(w/2)+x/2] = clip(v)
		}
	}
}

// lay fills a canvas with the backdrop as a moved camera sees it. sway is how far
// the trees lean, in pixels.
func (b *Backdrop) lay(c *Canvas, s Shake, sway float64) {
	from := b.wide.planes()
	for i, p := range c.planes() {
		q, margin, k := from[i], b.margin, 1.0
		if i > 0 {
			margin, k = b.margin/2, 2
		}
		for y := range p.h {
			b.layRow(p, q, y, margin, k, s, sway)
		}
	}
}

// strip is how many pixels share one shift: within it a shake's roll and zoom
// change the shift by less than a tenth of a pixel.
const strip = 16

func (b *Backdrop) layRow(p, q plane, y, margin int, k float64, s Shake, sway float64) {
	line := p.pix[y*p.w : (y+1)*p.w]
	lean := 0.0
	if row := float64(y) * k; sway != 0 && row < float64(b.trees) {
		lean = sway * (float64(b.trees) - row) / float64(b.trees)
	}
	if s.still() && lean == 0 {
		copy(line, q.pix[(y+margin)*q.w+margin:])
		return
	}
	step := strip
	if s.Roll == 0 && s.Zoom == 0 {
		step = p.w
	}
	for x0 := 0; x0 < p.w; x0 += step {
		x1 := min(x0+step, p.w)
		dx, dy := s.shift(float64((x0+x1)/2-p.w/2)*k, float64(y-p.h/2)*k)
		fx := float64(x0+margin) - (dx+lean)/k
		fy := float64(y+margin) - dy/k
		fx = min(max(fx, 0), float64(q.w-(x1-x0)-2))
		fy = min(max(fy, 0), float64(q.h-2))
		ix, iy := int(fx), int(fy)
		ax, ay := uint64(math.Round((fx-float64(ix))*16)), uint64(math.Round((fy-float64(iy))*16))
		w := [4]uint64{(16 - ax) * (16 - ay), ax * (16 - ay), (16 - ax) * ay, ax * ay}
		blend(line[x0:x1], q.pix[iy*q.w+ix:], q.pix[(iy+1)*q.w+ix:], w)
	}
}

// blend writes pixels as the weighted means of four: two rows, each at a pixel and
// its right neighbour. The weights add up to 256, so that eight pixels can be
// reckoned at once, in the four 16-bit lanes of the even and of the odd ones.
func blend(out, r0, r1 []byte, w [4]uint64) {
	const lanes, half = 0x00FF00FF00FF00FF, 0x0080008000800080
	r0, r1 = r0[:len(out)+1], r1[:len(out)+1]
	x := 0
	for ; x+8 <= len(out); x += 8 {
		a, b := binary.LittleEndian.Uint64(r0[x:]), binary.LittleEndian.Uint64(r0[x+1:])
		c, d := binary.LittleEndian.Uint64(r1[x:]), binary.LittleEndian.Uint64(r1[x+1:])
		even := a&lanes*w[0] + b&lanes*w[1] + c&lanes*w[2] + d&lanes*w[3] + half
		odd := a>>8&lanes*w[0] + b>>8&lanes*w[1] + c>>8&lanes*w[2] + d>>8&lanes*w[3] + half
		binary.LittleEndian.PutUint64(out[x:], even>>8&lanes|odd&^lanes)
	}
	for ; x < len(out); x++ {
		v := uint64(r0[x])*w[0] + uint64(r0[x+1])*w[1] + uint64(r1[x])*w[2] + uint64(r1[x+1])*w[3]
		out[x] = byte((v + 128) >> 8)
	}
}
