package paint

import (
	"math"

	"tenoff/internal/demo/motion"
)

// Where things stand in the ball park, in metres.
const (
	circleRadius = 2.44 // of the dirt round the rubber (8 ft)
	plateDirt    = 3.9
	sideFence    = 10.0
	rearFence    = -12.0
	backstop     = 19.0
)

// world is the ball park without anybody in it.
type world struct {
	seed  uint32
	plate float64 // distance of the plate's rear point from the rubber
	plain bool
	net   bool
	flip  bool // seen by a left-hander's camera: mirrored, so that the light stays
}

// look returns the colour that is seen from eye along dir; pixel is the width of
// a pixel in radians.
func (w world) look(eye, dir motion.Vec, pixel float64) Color {
	if w.flip {
		eye.Y, dir.Y = -eye.Y, -dir.Y
	}
	toGround := math.Inf(1)
	if dir.Z < -1e-6 {
		toGround = -eye.Z / dir.Z
	}
	if w.net {
		if c, ok := w.netAt(eye, dir, toGround, pixel); ok {
			return c
		}
	}
	toFence, along, height := w.fence(eye, dir)
	if toGround < toFence {
		p := eye.Add(dir.Mul(toGround))
		return w.ground(p.X, p.Y, toGround*pixel*1.5)
	}
	z := eye.Z + dir.Z*toFence
	behind := w.distance(eye, dir, pixel)
	if z > height {
		return behind
	}
	return w.mesh(along, z, height, toFence*pixel, behind)
}

// fence returns how far the fence is, where along it, and how high it is there.
func (w world) fence(eye, dir motion.Vec) (t, along, height float64) {
	t = math.Inf(1)
	try := func(d float64, at, high float64) {
		if d > 0 && d < t {
			t, along, height = d, at, high
		}
	}
	if dir.Y > 1e-9 {
		d := (sideFence - eye.Y) / dir.Y
		try(d, eye.X+dir.X*d, 1.55)
	} else if dir.Y < -1e-9 {
		d := (-sideFence - eye.Y) / dir.Y
		try(d, 100+eye.X+dir.X*d, 1.55)
	}
	if dir.X > 1e-9 {
		d := (backstop - eye.X) / dir.X
		try(d, 200+eye.Y+dir.Y*d, 3.4)
	} else if dir.X < -1e-9 {
		d := (rearFence - eye.X) / dir.X
		try(d, 300+eye.Y+dir.Y*d, 1.55)
	}
	return t, along, height
}

// mesh is the fence itself: posts, rails, wire, and plain banners here and there.
func (w world) mesh(along, z, height, pixel float64, behind Color) Color {
	steel := RGB(150, 154, 156)
	post := math.Abs(math.Remainder(along, 3))
	if post < .045 || z > height-.06 {
		return steel.lit(.75)
	}
	panel := int(math.Floor(along / 3))
	if !w.plain && lattice(int32(panel), 7, w.seed) > .15 && z > .18 && z < 1.02 && post > .12 {
		k := lattice(int32(panel), 3, w.seed)
		base := RGB(60, 84, 70)
		if k > .4 {
			base = RGB(140, 60, 52)
		} else if k < -.3 {
			base = RGB(58, 76, 120)
		}
		wave := value(along*1.7, z*1.1, w.seed+5)
		if math.Abs(z-.6+.1*math.Sin(along*1.3)) < .10 {
			base = base.mix(RGB(225, 222, 210), .7)
		}
		return base.lit(float32(1 + .08*wave))
	}
	// Diamonds of wire, fading into a veil where a pixel cannot show them.
	const cell = .11
	u, v := (along+z)/cell, (along-z)/cell
	near := min(math.Abs(math.Remainder(u, 1)), math.Abs(math.Remainder(v, 1))) * cell
	wire := .006
	cover := min(max((wire+pixel/2-near)/pixel, 0), 1)
	veil := 4 * wire / cell
	fade := min(max(cell/(3*pixel)-.4, 0), 1)
	k := fade*cover + (1-fade)*veil
	return behind.mix(steel, float32(k*.8))
}

// distance is what lies beyond the fence: grass, trees, sky.
func (w world) distance(eye, dir motion.Vec, pixel float64) Color {
	azimuth := math.Atan2(dir.Y, dir.X)
	rise := dir.Z / math.Hypot(dir.X, dir.Y)
	crown := .085 + .04*value(azimuth*4, 1, w.seed+11) + .03*rough(azimuth*14, 2, 1, .02, 4, w.seed+12)
	if w.plain {
		crown = .03
	}
	if rise > crown {
		up := min(rise/.7, 1)
		sky := RGB(196, 212, 226).mix(RGB(120, 164, 214), float32(up))
		cloud := rough(azimuth*3, rise*9, 1, .02, 5, w.seed+21)
		return sky.mix(RGB(238, 240, 242), float32(min(max(cloud*2.2, 0), .8)))
	}
	if rise > -.012 {
		leaf := rough(azimuth*60, rise*60, 3, pixel*60, 5, w.seed+31)
		deep := RGB(40, 66, 38).mix(RGB(94, 122, 62), float32(.5+.9*leaf))
		return deep.mix(RGB(150, 168, 170), .18)
	}
	p := 60 * value(azimuth*30, rise*200, w.seed+41)
	return RGB(104, 132, 66).lit(float32(1 + .002*p))
}

// ground is the field: grass in mown stripes, dirt round rubber and plate, chalk.
func (w world) ground(x, y, pixel float64) Color {
	r := math.Hypot(x, y)
	toPlate := math.Hypot(x-w.plate+.2, y)
	edge := .12 * value(x*2.1, y*2.1, w.seed+51)
	line := func(d, half float64) bool { return math.Abs(d) < half }
	switch {
	case w.onPlate(x, y):
		return RGB(240, 240, 236)
	case x > -.152 && x < 0 && line(y, .305):
		return RGB(236, 235, 228).lit(float32(1 - .10*max(0, value(x*19, y*19, w.seed+3))))
	case r < circleRadius+edge || toPlate < plateDirt+edge:
		grain := rough(x, y, .9, pixel, 7, w.seed+61)
		dirt := RGB(178, 134, 98).lit(float32(1 + .20*grain))
		// Trodden: darker where feet drag in front of the rubber.
		wear := math.Exp(-((x-.75)*(x-.75)/.55 + y*y/.05))
		if line(r-circleRadius+.06, .035) {
			dirt = dirt.mix(RGB(228, 224, 214), .55+.25*float32(value(x*8, y*8, w.seed+4)))
		}
		return dirt.lit(float32(1 - .13*wear))
	}
	blade := rough(x, y, .7, pixel, 7, w.seed+71)
	grass := RGB(96, 138, 58).lit(float32(1 + .26*blade))
	if math.Mod(math.Floor((x+60)/1.4), 2) == 0 {
		grass = grass.lit(1.07)
	}
	return grass
}

// onPlate says whether a place lies on home plate, 17 inches wide.
func (w world) onPlate(x, y float64) bool {
	d := w.plate - x // from the rear point towards the pitcher
	return d > 0 && d < .432 && math.Abs(y) < min(d, .216)
}

// netAt is the frame and net that she throws into when nobody catches.
func (w world) netAt(eye, dir motion.Vec, toGround, pixel float64) (Color, bool) {
	if dir.X <= 1e-9 {
		return Color{}, false
	}
	t := (w.plate + .6 - eye.X) / dir.X
	y, z := eye.Y+dir.Y*t, eye.Z+dir.Z*t
	if t <= 0 || t > toGround || math.Abs(y) > 1.05 || z > 2.1 {
		return Color{}, false
	}
	if math.Abs(y) > 1 || z > 2.05 || z < .05 {
		return RGB(206, 208, 204), true
	}
	mesh := min(math.Abs(math.Remainder(y, .07)), math.Abs(math.Remainder(z, .07)))
	if mesh < max(.006, t*pixel*.3) {
		return RGB(34, 36, 40), true
	}
	return Color{}, false
}
