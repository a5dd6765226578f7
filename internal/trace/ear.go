package trace

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// The Ear's times, in seconds.
const (
	earWindow = 256.0 / 24000 // of one spectrum
	earHop    = 96.0 / 24000  // between spectra
	earBack   = 2             // hops that the flux looks back
	earLow    = 900.0         // Hz: below lie wind, voices' fundamentals, traffic
	earHigh   = 8000.0        // Hz
	earKeep   = 4.0           // seconds of sound held for timing the onsets
)

// Ear listens to a film's sound for sudden sounds, a piece at a time, while the
// film is decoded. It holds a few seconds of it. It is not safe for concurrent
// use.
type Ear struct {
	rate        int     // samples a real second
	slow        float64 // file seconds in a real one
	hop, window int
	fft         *fourier.FFT
	hann        []float64
	scratch     []float64
	spectrum    []complex128
	low, high   int         // bins
	floor       []float64   // running middle of each bin's amplitude
	logs        [][]float64 // the last earBack+1 spectra
	pcm         []float32   // the newest sound
	first       int         // index of pcm[0] in the film
	fluxes      *flux       // finds the onsets
	level       levelMeter
	onsets      []Onset
	timer       *onsetTimer
}

// NewEar returns an Ear for mono sound of rate samples a second, 24,000 by
// preference; anything from 8,000 works. slow is how many times slower than life
// the film plays: its sound is as much slower and lower, and is heard as it was.
func NewEar(rate int, slow float64) *Ear {
	if !(slow > 0) {
		slow = 1
	}
	played := rate
	rate = max(1, int(math.Round(float64(rate)*slow)))
	e := &Ear{
		rate: rate, slow: slow,
		hop:    max(1, int(math.Round(earHop*float64(rate)))),
		window: max(8, int(math.Round(earWindow*float64(rate)))),
		timer:  newOnsetTimer(rate),
		level:  levelMeter{size: max(1, played/levelRate)},
	}
	e.fft = fourier.NewFFT(e.window)
	e.hann, e.scratch = make([]float64, e.window), make([]float64, e.window)
	for i := range e.hann {
		e.hann[i] = 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(e.window))
	}
	e.spectrum = make([]complex128, e.window/2+1)
	perBin := float64(rate) / float64(e.window)
	e.low = min(int(math.Ceil(earLow/perBin)), e.window/2-1)
	e.high = min(int(earHigh/perBin)+1, e.window/2)
	e.floor = make([]float64, e.high-e.low)
	e.logs = make([][]float64, earBack+1)
	for i := range e.logs {
		e.logs[i] = make([]float64, e.high-e.low)
	}
	e.fluxes = newFlux(float64(e.hop) / float64(rate))
	return e
}

// Add takes the next piece of sound, signed 16-bit. Sample 0 of the first piece
// is the instant of the film's first shown frame. pcm is not kept.
func (e *Ear) Add(pcm []int16) {
	for len(pcm) > 0 {
		n := min(len(pcm), e.rate)
		e.take(pcm[:n])
		pcm = pcm[n:]
	}
}

func (e *Ear) take(pcm []int16) {
	for _, v := range pcm {
		e.pcm = append(e.pcm, float32(v)/32768)
	}
	e.level.add(pcm)
	for {
		start := e.fluxes.len()*e.hop - e.first
		if start+e.window > len(e.pcm) {
			break
		}
		e.fluxes.add(e.listen(e.pcm[start:][:e.window]))
		e.settle(false)
	}
	if keep := int(earKeep * float64(e.rate)); len(e.pcm) > 2*keep {
		cut := len(e.pcm) - keep
		e.pcm = append(e.pcm[:0], e.pcm[cut:]...)
		e.first += cut
	}
}

// listen returns how much louder the spectrum of piece is than earBack hops
// before: the mean over the bins of the rise of the compressed amplitude
// log(1 + amplitude / 3 floor), falls counted as none.
func (e *Ear) listen(piece []float32) float64 {
	for i, v := range piece {
		e.scratch[i] = float64(v) * e.hann[i]
	}
	e.fft.Coefficients(e.spectrum, e.scratch)
	now := e.logs[earBack]
	copy(e.logs[1:], e.logs[:earBack])
	e.logs[0] = now
	then := e.logs[earBack]
	const (
		quietest = 3e-4 // amplitude of a spectrum of rounding noise
		slowest  = 0.01 // per hop: the floor follows the middle of what is heard within a second or two
	)
	hops := e.fluxes.len()
	pace := max(slowest, 1/float64(hops+2))
	sum := 0.0
	for i := range now {
		c := e.spectrum[e.low+i]
		amplitude := math.Sqrt(real(c)*real(c) + imag(c)*imag(c))
		switch {
		case hops == 0:
			e.floor[i] = amplitude
		case amplitude > e.floor[i]:
			e.floor[i] *= 1 + pace
		default:
			e.floor[i] *= 1 - pace
		}
		e.floor[i] = max(e.floor[i], quietest)
		now[i] = math.Log1p(amplitude / (3 * e.floor[i]))
		if hops >= earBack {
			sum += max(0, now[i]-then[i])
		}
	}
	return sum / float64(len(now))
}

// settle takes the onsets that can be decided by now; all that are left when
// done.
func (e *Ear) settle(done bool) {
	for {
		at, z, ok := e.fluxes.next(done)
		if !ok {
			return
		}
		centre := (float64(at*e.hop) + float64(e.window)/2) / float64(e.rate)
		onset := e.timer.time(e.pcm, e.first, centre)
		onset.Z = float32(z)
		if n := len(e.onsets); n > 0 && onset.Time < e.onsets[n-1].Time+0.02 {
			if onset.Z > e.onsets[n-1].Z { // two peaks of the flux on one sound
				e.onsets[n-1].Z = onset.Z
			}
			continue
		}
		e.onsets = append(e.onsets, onset)
	}
}

// Sound returns what was heard. Call it once, after the last piece.
func (e *Ear) Sound() *Sound {
	e.settle(true)
	for i := range e.onsets {
		e.onsets[i].Time *= e.slow
		e.onsets[i].Rise *= float32(e.slow)
	}
	return &Sound{
		Onsets: e.onsets,
		Level:  e.level.finish(),
		End:    float64(e.first+len(e.pcm)) / float64(e.rate) * e.slow,
	}
}

// levelMeter measures loudness in pieces of size samples.
type levelMeter struct {
	size, n int
	sum     float64
	out     []uint8
}

func (l *levelMeter) add(pcm []int16) {
	for _, v := range pcm {
		l.sum += float64(v) * float64(v)
		if l.n++; l.n == l.size {
			l.flush()
		}
	}
}

func (l *levelMeter) flush() {
	db := 10*math.Log10(l.sum/float64(l.n)+1e-9) - 20*math.Log10(32768)
	l.out = append(l.out, uint8(math.Round(255*min(max(1+db/levelFloor, 0), 1))))
	l.sum, l.n = 0, 0
}

func (l *levelMeter) finish() []uint8 {
	if l.n > 0 {
		l.flush()
	}
	return l.out
}
