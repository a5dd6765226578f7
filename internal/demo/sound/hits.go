package sound

import "math"

// swell is how a hit starts and dies: up in a straight line, then down by e every
// decay seconds.
func swell(s, attack, decay float64) float64 {
	if s < attack {
		return s / attack
	}
	return math.Exp(-(s - attack) / decay)
}

// Pop puts in a ball caught in a leather glove, decibels over the hiss: a burst
// in three resonances over a low thump, and three early echoes.
func (t *Track) Pop(at, decibels float64) {
	x := samples(.16)
	d := t.dice
	between := func(a, b float64) float64 { return a + (b-a)*d.Float64() }
	for _, band := range [3][2]float64{{700, 1200}, {1600, 2500}, {3500, 5000}} {
		f := bandPass(between(band[0], band[1]), 3)
		decay, gain := between(.007, .014), between(.6, 1)
		for i := range x {
			s := float64(i) / Rate
			x[i] += float32(gain * f.next(d.NormFloat64()*swell(s, .0005, decay)))
		}
	}
	hz, gain := between(190, 310), between(.5, 1)
	for i := range x {
		s := float64(i) / Rate
		x[i] += float32(gain * math.Sin(2*math.Pi*hz*s) * swell(s, .001, .018))
	}
	for range 3 {
		delay, gain := int(between(.004, .035)*Rate), float32(between(.08, .25))
		for i := len(x) - 1; i >= delay; i-- {
			x[i] += gain * x[i-delay]
		}
	}
	t.add(at, x, level(x, decibels))
}

// Net puts in a ball that a net stops: soft, slow to start, mostly low.
func (t *Track) Net(at, decibels float64) {
	t.noise(at, .3, .012, .05, 600, .7, decibels)
}

// Thud puts in a foot that lands.
func (t *Track) Thud(at, decibels float64) { t.noise(at, .25, .004, .035, 95, 1.2, decibels) }

// Scrape puts in a foot that drags over dirt.
func (t *Track) Scrape(at, decibels float64) { t.noise(at, .4, .09, .06, 2600, .6, decibels) }

// Brush puts in an arm that brushes the hip.
func (t *Track) Brush(at, decibels float64) { t.noise(at, .05, .002, .006, 1300, .8, decibels) }

// noise puts in a burst of noise round a tone.
func (t *Track) noise(at, length, attack, decay, hz, q, decibels float64) {
	x := samples(length)
	f := bandPass(hz, q)
	for i := range x {
		x[i] = float32(f.next(t.dice.NormFloat64() * swell(float64(i)/Rate, attack, decay)))
	}
	// By their whole loudness: most of it lies under the band.
	var most float64
	for _, v := range x {
		most = max(most, math.Abs(float64(v)))
	}
	t.add(at, x, 3*Hiss*math.Pow(10, decibels/20)/max(most, 1e-9))
}

// Fence puts in a ball that hits wire: many ringing modes.
func (t *Track) Fence(at, decibels float64) {
	x := samples(.5)
	d := t.dice
	for range 14 {
		hz := 700 * math.Exp(2.2*d.Float64())
		decay, gain, phase := .05+.2*d.Float64(), d.Float64(), 2*math.Pi*d.Float64()
		for i := range x {
			s := float64(i) / Rate
			x[i] += float32(gain * math.Sin(2*math.Pi*hz*s+phase) * swell(s, .001, decay))
		}
	}
	t.add(at, x, level(x, decibels))
}
