package demo

import (
	"tenoff/internal/bullpen"
)

// The park is a high-school one (43 ft; rule books): the default of Bullpen too.
const (
	distanceFeet  = 43.0
	metresPerFoot = 0.3048
	gloveBehind   = 0.6 // metres behind the plate's rear point; common practice, no source
	soundSpeed    = 343 // m/s in air of 20 °C
)

// filled returns the options with every zero value replaced, or says what cannot
// be drawn.
func (o Options) filled() (Options, error) {
	if o.Width == 0 && o.Height == 0 {
		o.Width, o.Height = 640, 360
		if o.Portrait {
			o.Width, o.Height = 360, 640
		}
	}
	if o.Pace == (FrameTiming{}) {
		o.Pace = FPS(60, 1)
	}
	if len(o.Reps) == 0 {
		_, _, b := Bullpen()
		o.Reps = b.Reps
	}
	usual(&o.Slow, 1)
	usual(&o.Shutter, 1.0/240)
	usual(&o.Noise, 3)
	usual(&o.View, bullpen.ViewSide)
	usual(&o.Lead, 2.5)
	usual(&o.Tail, 2)
	usual(&o.Rest, 7)
	usual(&o.Jitter, 1)
	usual(&o.Sound.PopLevel, 20)
	usual(&o.Sound.Wind, 0.02)
	o.Noise, o.Jitter, o.Sound.Wind = max(o.Noise, 0), max(o.Jitter, 0), max(o.Sound.Wind, 0)
	reps := make([]RepSpec, len(o.Reps))
	for i, r := range o.Reps {
		reps[i] = r.filled()
	}
	o.Reps = reps
	return o, o.check()
}

func usual[T comparable](v *T, usual T) {
	var zero T
	if *v == zero {
		*v = usual
	}
}

func (r RepSpec) filled() RepSpec {
	usual(&r.Pitch, bullpen.Fastball)
	usual(&r.Tempo, Same)
	usual(&r.Stretch, 1)
	if r.Pitch == bullpen.Fastball {
		usual(&r.Speed, 54)
	}
	usual(&r.Speed, 44)
	if r.Tempo == Same {
		r.Stretch = 1
	}
	return r
}

func (o Options) check() error {
	refuse := func(format string, a ...any) error {
		return bullpen.Errorf(bullpen.Invalid, "The demo can't be drawn: "+format, a...)
	}
	switch p := o.Pace; {
	case o.Width < 96 || o.Height < 54 || o.Width > 4096 || o.Height > 4096 || o.Width%2 != 0 || o.Height%2 != 0:
		return refuse("a picture of %d x %d is not even, or not between 96 x 54 and 4096 x 4096.", o.Width, o.Height)
	case p.TickRate <= 0 || p.Step <= 0 || p.Swing < 0 || p.Stall < 0 || p.Late < 0 || p.rate() > 1000 || p.rate() < 5 || p.Step <= 3*p.Swing:
		return refuse("its frames would not follow each other.")
	case o.Slow < 1 || o.Slow > 16:
		return refuse("slowed %d times; 1 to 16 is possible.", o.Slow)
	case o.Rotation%90 != 0 || o.Rotation < 0 || o.Rotation > 270:
		return refuse("turned by %d degrees; only quarter turns are.", o.Rotation)
	case o.Doubled != 0 && o.Doubled < 4:
		return refuse("every frame doubled of %d; at least 4 is possible.", o.Doubled)
	case o.Rest < 4.5 || o.Lead < 0.3 || o.Tail < 0.2:
		return refuse("reps %g s apart, %g s before the first, %g s after the last; 4.5, 0.3 and 0.2 s are the least.", o.Rest, o.Lead, o.Tail)
	case o.View != bullpen.ViewSide && o.View != bullpen.ViewDiagonal && o.View != bullpen.ViewBehind:
		return refuse("there is no view %q.", string(o.View))
	}
	for i, r := range o.Reps {
		switch {
		case r.Speed < 15 || r.Speed > 90:
			return refuse("rep %d at %g mph; 15 to 90 is possible.", i+1, float64(r.Speed))
		case r.Stretch < .7 || r.Stretch > 1.6:
			return refuse("rep %d stretched by %g; 0.7 to 1.6 is possible.", i+1, r.Stretch)
		case r.Tempo != Same && r.Tempo != Body && r.Tempo != ArmEarly && r.Tempo != ArmLate:
			return refuse("rep %d has the unknown tempo %q.", i+1, string(r.Tempo))
		}
	}
	return nil
}
