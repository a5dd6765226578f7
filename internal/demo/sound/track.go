package sound

import (
	"math"
	"math/rand/v2"
)

// Hiss is the root mean square of the quiet background between 0.9 and 8 kHz.
const Hiss = 0.003

// Track is a sound track under way.
type Track struct {
	samples []float32
	dice    *rand.Rand
}

// NewTrack returns so many seconds of nothing but hiss.
func NewTrack(seconds float64, seed uint64) *Track {
	t := &Track{samples: make([]float32, int(math.Ceil(seconds*Rate))), dice: rand.New(rand.NewPCG(seed, 77))}
	t.hiss()
	return t
}

// hiss fills the track with noise that falls towards high tones, as air and
// microphone have it.
func (t *Track) hiss() {
	dark := lowPass(1800, .6)
	// White noise of deviation s has s sqrt(band / (Rate/2)) in a band; the dark
	// part adds little there.
	white := Hiss / math.Sqrt((bandHigh-bandLow)/(Rate/2)) * .92
	for i := range t.samples {
		n := t.dice.NormFloat64()
		t.samples[i] = float32(white*n + .004*dark.next(t.dice.NormFloat64()))
	}
}

// add mixes a sound in, its first sample at the given second.
func (t *Track) add(at float64, x []float32, gain float64) {
	start := int(math.Round(at * Rate))
	for i, v := range x {
		if k := start + i; k >= 0 && k < len(t.samples) {
			t.samples[k] += float32(gain) * v
		}
	}
}

// level returns the gain that brings a sound's loudest 10 ms to so many decibels
// over the hiss.
func level(x []float32, decibels float64) float64 {
	return Hiss * math.Pow(10, decibels/20) / max(loudest(x), 1e-9)
}

func samples(seconds float64) []float32 { return make([]float32, int(seconds*Rate)) }

// PCM returns the track played slow times slower, at a rate of one's choice.
func (t *Track) PCM(rate int, slow float64) []int16 {
	x := t.samples
	if step := Rate / (float64(rate) * slow); step != 1 {
		x = resampled(x, step)
	}
	out := make([]int16, len(x))
	for i, v := range x {
		out[i] = int16(math.Round(min(max(float64(v), -1), 1) * math.MaxInt16))
	}
	return out
}

// phases is how finely a moment between two samples is told.
const phases = 1024

// resampled reads x in steps of step samples, by a windowed sinc that lets
// through what both rates can hold.
func resampled(x []float32, step float64) []float32 {
	cut := min(1, 1/step)
	half := int(math.Ceil(12 / cut))
	var kernels [phases + 1][]float32 // made when first needed
	out := make([]float32, int(float64(len(x))/step))
	for i := range out {
		at := float64(i) * step
		whole := math.Floor(at)
		phase := int(math.Round((at - whole) * phases))
		if kernels[phase] == nil {
			kernels[phase] = kernel(float64(phase)/phases, cut, half)
		}
		var sum float32
		first := int(whole) - half + 1
		for k, w := range kernels[phase] {
			if j := first + k; j >= 0 && j < len(x) {
				sum += w * x[j]
			}
		}
		out[i] = sum
	}
	return out
}

// kernel returns the weights of the 2 half samples round a moment, the given share
// of a sample after one: sinc of the given cut-off under a Hann window.
func kernel(share, cut float64, half int) []float32 {
	w := make([]float32, 2*half)
	for k := range w {
		d := share + float64(half-1-k)
		s := cut
		if a := math.Pi * d * cut; math.Abs(a) > 1e-9 {
			s = cut * math.Sin(a) / a
		}
		w[k] = float32(s * (.5 + .5*math.Cos(math.Pi*d/float64(half))))
	}
	return w
}
