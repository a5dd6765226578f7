package trace

import (
	"math"
	"math/rand/v2"
	"testing"
)

// popSound adds a glove's pop at second at: noise that rises within half a
// millisecond and dies away within ten.
func popSound(pcm []int16, rate int, at, loud float64, random *rand.Rand) {
	start := int(math.Ceil(at * float64(rate)))
	for i := start; i < min(len(pcm), start+rate/20); i++ {
		t := float64(i)/float64(rate) - at
		v := loud * math.Min(t/0.0005, 1) * math.Exp(-t/0.010) * random.NormFloat64()
		pcm[i] = int16(min(max(float64(pcm[i])+v, -32768), 32767))
	}
}

func hiss(seconds float64, rate int, loud float64, random *rand.Rand) []int16 {
	pcm := make([]int16, int(seconds*float64(rate)))
	for i := range pcm {
		pcm[i] = int16(loud * random.NormFloat64())
	}
	return pcm
}

// Every pop is found, within 2 ms, nothing else is, at any usual sample rate and
// however the sound is cut into pieces.
func TestEarHearsPops(t *testing.T) {
	t.Parallel()
	pops := []float64{0.7, 2.013, 2.9004, 4.11, 6.5, 9.2, 9.75, 14.6001, 19.9}
	for _, rate := range []int{16000, 24000, 44100, 48000} {
		for _, piece := range []int{1, 7919, 1 << 20} {
			if piece == 1 && rate != 24000 {
				continue
			}
			random := rand.New(rand.NewPCG(1, uint64(rate)))
			pcm := hiss(20, rate, 60, random)
			for _, at := range pops {
				popSound(pcm, rate, at, 2500, random)
			}
			ear := NewEar(rate, 1)
			for rest := pcm; len(rest) > 0; {
				n := min(piece, len(rest))
				ear.Add(rest[:n])
				rest = rest[n:]
			}
			sound := ear.Sound()
			if len(sound.Onsets) != len(pops) {
				t.Errorf("%d Hz in pieces of %d: %d onsets, want %d: %v", rate, piece, len(sound.Onsets), len(pops), sound.Onsets)
				continue
			}
			for i, o := range sound.Onsets {
				if math.Abs(o.Time-pops[i]) > 0.002 {
					t.Errorf("%d Hz in pieces of %d: onset %.4f, want %.4f", rate, piece, o.Time, pops[i])
				}
			}
			if math.Abs(sound.End-20) > 1e-3 || len(sound.Level) < 1990 {
				t.Errorf("%d Hz: end %.3f, %d levels", rate, sound.End, len(sound.Level))
			}
		}
	}
}

// A louder pop stands out more, silence has no onsets, and neither has nothing.
func TestEarLoudness(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 4))
	pcm := hiss(8, 24000, 100, random)
	popSound(pcm, 24000, 2.5, 1500, random)
	popSound(pcm, 24000, 5.5, 12000, random)
	ear := NewEar(24000, 1)
	ear.Add(pcm)
	got := ear.Sound().Onsets
	if len(got) != 2 || got[1].Peak-got[0].Peak < 1.5 || got[1].Z <= got[0].Z {
		t.Errorf("onsets %+v", got)
	}
	for _, pcm := range [][]int16{nil, make([]int16, 3), make([]int16, 48000)} {
		ear := NewEar(24000, 1)
		ear.Add(pcm)
		if got := ear.Sound(); len(got.Onsets) != 0 {
			t.Errorf("%d samples of silence: %+v", len(pcm), got.Onsets)
		}
	}
}

// What an Ear holds does not grow with the film, but for its results.
func TestEarHoldsLittle(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 2))
	second := hiss(1, 24000, 100, random)
	ear := NewEar(24000, 1)
	for range 120 {
		ear.Add(second)
	}
	if held := len(ear.pcm); held > 10*24000 {
		t.Errorf("holds %d samples", held)
	}
	if held := len(ear.fluxes.values); held > 10*ear.fluxes.around {
		t.Errorf("holds %d values of the flux", held)
	}
}

func TestBandPass(t *testing.T) {
	for _, c := range []struct{ hz, want, within float64 }{
		{100, 0, 0.01}, {900, 0.5, 0.01}, {3000, 1, 0.03}, {7990, 0.5, 0.01}, {11500, 0, 0.05},
	} {
		const rate = 24000
		y := make([]float64, rate)
		for i := range y {
			y[i] = math.Sin(2 * math.Pi * c.hz * float64(i) / rate)
		}
		toAndFro(bandPass(earLow, earHigh, rate), y)
		top := 0.0
		for _, v := range y[rate/4 : 3*rate/4] {
			top = max(top, math.Abs(v))
		}
		// To and fro: the gain of one way, 1/sqrt(2) at the corners, twice.
		if math.Abs(top-c.want) > c.within {
			t.Errorf("%g Hz: gain %.3f, want %.3f", c.hz, top, c.want)
		}
	}
}

func BenchmarkEar(b *testing.B) {
	random := rand.New(rand.NewPCG(2, 2))
	second := hiss(1, 24000, 100, random)
	popSound(second, 24000, 0.5, 3000, random)
	ear := NewEar(24000, 1)
	for b.Loop() {
		ear.Add(second)
	}
}
