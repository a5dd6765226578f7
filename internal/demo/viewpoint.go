package demo

import (
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo/motion"
	"tenoff/internal/demo/paint"
)

// viewpoint is where the phone stands.
type viewpoint struct {
	eye, target motion.Vec
	// high and wide are the metres, at the target, that the picture must show.
	high, wide float64
}

// viewpoint places the phone for a view, never twice in quite the same place.
func (o Options) viewpoint(d dice) viewpoint {
	var v viewpoint
	switch o.View {
	case bullpen.ViewBehind:
		v = viewpoint{
			eye:    motion.Vec{X: -d.between(4.5, 6), Y: -d.between(.5, .9), Z: d.between(1.5, 1.75)}, // off her throwing side: the ball is seen
			target: motion.Vec{X: 2.5, Y: d.between(-.1, .1), Z: 1.02},
			high:   4.6, wide: 3.4,
		}
	case bullpen.ViewDiagonal:
		v = viewpoint{
			eye:    motion.Vec{X: -d.between(4.2, 5), Y: -d.between(2.9, 3.5), Z: d.between(1.4, 1.7)},
			target: motion.Vec{X: 1.3, Y: d.between(-.05, .05), Z: .98},
			high:   3.3, wide: 3.1,
		}
	default:
		v = viewpoint{
			eye:    motion.Vec{X: d.between(.3, .9), Y: -d.between(6.5, 8.5), Z: d.between(1.25, 1.6)},
			target: motion.Vec{X: d.between(.62, .76), Y: 0, Z: d.between(.98, 1.06)},
			high:   2.95, wide: 2.95,
		}
	}
	if o.Left {
		v.eye.Y, v.target.Y = -v.eye.Y, -v.target.Y
	}
	return v
}

// camera returns the viewpoint's camera for a picture of w by h pixels.
func (v viewpoint) camera(w, h int) paint.Camera {
	high := max(v.high, v.wide*float64(h)/float64(w))
	return paint.NewCamera(v.eye, v.target, w, h, high)
}

// shaking is how the hand that holds the phone moves: in pixels of a 640-pixel
// width, radians and shares.
type shaking struct {
	x, y, roll, zoom wander
	pan              float64
	length           float64 // seconds of film, for the pan
}

// wander is a random motion round zero, the same at every asking.
type wander []wave

type wave struct{ amplitude, frequency, phase float64 }

// newWander returns slow drift round 0.7 Hz, as of a breathing, swaying body, with
// a tremor of 8 to 9 Hz, at the given standard deviation.
func newWander(sd float64, d dice) wander {
	if sd == 0 {
		return nil
	}
	var w wander
	var power float64
	for range 10 {
		f := math.Exp(d.between(math.Log(.12), math.Log(2.2)))
		a := 1 / math.Hypot(1-(f/.7)*(f/.7), 1.1*f/.7) // a damped spring's answer to noise
		w = append(w, wave{a, f, d.between(0, 2*math.Pi)})
		power += a * a / 2
	}
	for i := range w {
		w[i].amplitude *= sd / math.Sqrt(power)
	}
	for range 3 {
		w = append(w, wave{sd * .05, d.between(8, 9), d.between(0, 2*math.Pi)})
	}
	return w
}

func (w wander) at(t float64) float64 {
	var v float64
	for _, k := range w {
		v += k.amplitude * math.Sin(2*math.Pi*k.frequency*t+k.phase)
	}
	return v
}

// most returns a bound of the wander.
func (w wander) most() float64 {
	var v float64
	for _, k := range w {
		v += math.Abs(k.amplitude)
	}
	return v
}

func newShaking(o Options, length float64, d dice) shaking {
	return shaking{
		x: newWander(o.Handheld, d), y: newWander(o.Handheld*.8, d),
		roll: newWander(o.Handheld*.00055, d), zoom: newWander(o.Handheld*.0003, d),
		pan: o.Pan, length: length,
	}
}

// at returns the shake at a time for a picture w pixels wide.
func (s shaking) at(t float64, w int) paint.Shake {
	k := float64(w) / 640
	pan := s.pan * (.5 - t/s.length)
	return paint.Shake{DX: (s.x.at(t) + pan) * k, DY: s.y.at(t) * k, Roll: s.roll.at(t), Zoom: s.zoom.at(t)}
}

// margin returns how many pixels a picture of w by h can move.
func (s shaking) margin(w, h int) int {
	k := float64(w) / 640
	turn := (s.roll.most() + s.zoom.most()) * float64(max(w, h)) / 2
	return int(math.Ceil((max(s.x.most()+math.Abs(s.pan)/2, s.y.most()))*k+turn)) + 2
}
