package sound

import "math"

// Wind puts gusts over the whole track, strength as a share of full scale.
func (t *Track) Wind(strength float64) {
	if strength <= 0 {
		return
	}
	a, b := lowPass(110, .7), lowPass(110, .7)
	type gust struct{ hz, phase float64 }
	var gusts [4]gust
	for i := range gusts {
		gusts[i] = gust{.08 + .35*t.dice.Float64(), 2 * math.Pi * t.dice.Float64()}
	}
	// Two low passes at 110 Hz leave about this share of white noise.
	gain := strength / math.Sqrt(110*1.1/(Rate/2))
	for i := range t.samples {
		s := float64(i) / Rate
		var g float64
		for _, u := range gusts {
			g += math.Sin(2*math.Pi*u.hz*s + u.phase)
		}
		blow := .25 + .75*min(max(.5+.35*g, 0), 1)
		t.samples[i] += float32(gain * blow * b.next(a.next(t.dice.NormFloat64())))
	}
}

// Voices lets people talk now and then, over the whole track.
func (t *Track) Voices(decibels float64) {
	length := float64(len(t.samples)) / Rate
	for at := 1.5 * t.dice.Float64(); at < length; {
		syllables := 2 + t.dice.IntN(7)
		pitch := 150 + 110*t.dice.Float64()
		for range syllables {
			at += t.syllable(at, pitch*(1+.12*t.dice.NormFloat64()), decibels+3*t.dice.NormFloat64())
		}
		at += .3 + 2.5*t.dice.Float64()
	}
}

// Grunt puts in the sound of effort.
func (t *Track) Grunt(at, decibels float64) { t.syllable(at, 230, decibels) }

// syllable puts in one vowel, with a consonant's hiss before it at times, and
// returns how long it lasts: pulses of a voice through three formants.
func (t *Track) syllable(at, pitch, decibels float64) float64 {
	d := t.dice
	length := .11 + .12*d.Float64()
	x := samples(length)
	formants := [3]filter{
		bandPass(350+500*d.Float64(), 6), bandPass(900+1300*d.Float64(), 8), bandPass(2300+700*d.Float64(), 9),
	}
	gains := [3]float64{1, .6, .3}
	phase := 0.0
	for i := range x {
		s := float64(i) / Rate
		phase += pitch * (1 - .15*s/length) / Rate
		pulse := 0.0
		if phase >= 1 {
			phase--
			pulse = 8
		}
		pulse += .05 * d.NormFloat64()
		env := math.Pow(math.Sin(math.Pi*s/length), .7)
		for k := range formants {
			x[i] += float32(gains[k] * formants[k].next(pulse*env))
		}
	}
	if d.IntN(3) == 0 {
		hiss := bandPass(3000+3000*d.Float64(), 1.2)
		for i := range min(len(x), Rate/16) {
			s := float64(i) / Rate
			x[i] += float32(1.2 * hiss.next(d.NormFloat64()*math.Sin(math.Pi*min(s/.06, 1))))
		}
	}
	t.add(at, x, level(x, decibels))
	return length * 1.05
}
