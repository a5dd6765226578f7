package trace

import (
	"math"
	"slices"
)

// Onsets are the peaks of the flux.
const (
	onsetZ      = 4.0   // standard deviations above the flux around it
	onsetAround = 1.5   // seconds to either side that make "around it"
	onsetApart  = 0.060 // seconds between onsets
)

// flux collects the Ear's flux and finds its peaks, a little later than they
// come: each is judged against the flux on both its sides.
type flux struct {
	step    float64 // seconds between values
	values  []float64
	first   int // index of values[0]
	judged  int // the next index to judge
	around  int
	apart   int
	scratch []float64
}

func newFlux(step float64) *flux {
	return &flux{step: step, around: int(onsetAround / step), apart: int(onsetApart / step)}
}

func (f *flux) len() int { return f.first + len(f.values) }

func (f *flux) add(v float64) {
	f.values = append(f.values, v)
	if len(f.values) > 8*f.around {
		cut := f.judged - f.first - f.around - f.apart
		if cut > 0 {
			f.values = append(f.values[:0], f.values[cut:]...)
			f.first += cut
		}
	}
}

// next returns the next peak that can be judged and how many standard deviations
// it stands out; false when there is none yet.
func (f *flux) next(done bool) (at int, z float64, ok bool) {
	for ; f.judged < f.len() && (done || f.judged+f.around < f.len()); f.judged++ {
		i := f.judged - f.first
		if !f.isPeak(i) {
			continue
		}
		lo, hi := max(0, i-f.around), min(len(f.values), i+f.around+1)
		f.scratch = append(f.scratch[:0], f.values[lo:hi]...)
		middle := median(f.scratch)
		for k, v := range f.scratch {
			f.scratch[k] = math.Abs(v - middle)
		}
		spread := 1.4826*median(f.scratch) + 1e-4
		if z := (f.values[i] - middle) / spread; z > onsetZ {
			at := f.judged
			f.judged++
			return at, z, true
		}
	}
	return 0, 0, false
}

// isPeak reports whether values[i] is the greatest within apart; of equal ones
// the first.
func (f *flux) isPeak(i int) bool {
	v := f.values[i]
	if !(v > 0) {
		return false
	}
	before := f.values[max(0, i-f.apart):i]
	after := f.values[i+1 : min(len(f.values), i+f.apart+1)]
	return !slices.ContainsFunc(before, func(o float64) bool { return o >= v }) &&
		!slices.ContainsFunc(after, func(o float64) bool { return o > v })
}

// onsetTimer finds the instant at which a sudden sound begins.
type onsetTimer struct {
	rate     float64
	filter   []section
	y        []float64
	envelope []float64
}

func newOnsetTimer(rate int) *onsetTimer {
	return &onsetTimer{rate: float64(rate), filter: bandPass(earLow, earHigh, float64(rate))}
}

// time returns the onset about centre (film seconds), of which pcm holds the
// sound; pcm[0] is the film's sample first. Its beginning is where the amplitude
// between 0.9 and 8 kHz, filtered to and fro so that nothing is delayed, has
// climbed 0.3 of the way from what was before to its peak.
func (o *onsetTimer) time(pcm []float32, first int, centre float64) Onset {
	const (
		before, after = 0.080, 0.060   // seconds taken round centre
		from, to      = -0.008, +0.030 // where the peak is looked for
		climbed       = 0.3
	)
	start := max(0, int((centre-before)*o.rate)-first)
	end := min(len(pcm), int((centre+after)*o.rate)-first)
	if end-start < int(0.02*o.rate) {
		return Onset{Time: centre, Peak: float32(math.Log(1e-6))}
	}
	o.smoothed(pcm[start:end])
	index := func(s float64) int { return int((centre+s)*o.rate) - first - start }
	lo, hi := max(0, index(from)), min(len(o.envelope), index(to))
	if lo >= hi {
		return Onset{Time: centre, Peak: float32(math.Log(1e-6))}
	}
	peak := lo
	for i := lo; i < hi; i++ {
		if o.envelope[i] > o.envelope[peak] {
			peak = i
		}
	}
	base := o.base(max(0, index(from-0.040)), max(1, index(from)))
	need := base + climbed*(o.envelope[peak]-base)
	i := peak
	for i > 0 && o.envelope[i-1] > need {
		i--
	}
	at := float64(i)
	if i > 0 && o.envelope[i] > o.envelope[i-1] {
		at -= min(1, max(0, (o.envelope[i]-need)/(o.envelope[i]-o.envelope[i-1])))
	}
	return Onset{
		Time: (at + float64(first+start)) / o.rate,
		Peak: float32(math.Log(o.envelope[peak] + 1e-6)),
		Rise: float32((float64(peak) - at) / o.rate),
	}
}

// base returns the middle of the envelope between two indices.
func (o *onsetTimer) base(lo, hi int) float64 {
	hi = min(hi, len(o.envelope))
	if lo >= hi {
		return 0
	}
	return median(slices.Clone(o.envelope[lo:hi]))
}

// smoothed fills envelope with the filtered sound's mean amplitude over 1 ms.
func (o *onsetTimer) smoothed(pcm []float32) {
	o.y = o.y[:0]
	for _, v := range pcm {
		o.y = append(o.y, float64(v))
	}
	toAndFro(o.filter, o.y)
	for i, v := range o.y {
		o.y[i] = math.Abs(v)
	}
	half := max(1, int(0.0005*o.rate))
	o.envelope = o.envelope[:0]
	sum := 0.0
	for i := 0; i < min(half, len(o.y)); i++ {
		sum += o.y[i]
	}
	for i := range o.y {
		if k := i + half; k < len(o.y) {
			sum += o.y[k]
		}
		if k := i - half - 1; k >= 0 {
			sum -= o.y[k]
		}
		o.envelope = append(o.envelope, max(sum, 0)/float64(2*half+1))
	}
}
