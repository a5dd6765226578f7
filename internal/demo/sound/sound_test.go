package sound

import (
	"math"
	"slices"
	"testing"
)

func rms(x []float32) float64 {
	var sum float64
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return math.Sqrt(sum / float64(len(x)))
}

func TestHissLevel(t *testing.T) {
	got := rms(inBand(NewTrack(2, 1).samples)[Rate/10:])
	if d := 20 * math.Log10(got/Hiss); math.Abs(d) > .5 {
		t.Errorf("the hiss is off by %.2f dB", d)
	}
}

// A pop is as many decibels over the hiss as asked, and starts at its sample.
func TestPop(t *testing.T) {
	for _, want := range []float64{12, 20, 30} {
		track := &Track{samples: make([]float32, Rate), dice: NewTrack(.01, 7).dice}
		track.Pop(.5, want)
		if d := 20*math.Log10(loudest(track.samples)/Hiss) - want; math.Abs(d) > .1 {
			t.Errorf("%g dB: off by %.2f", want, d)
		}
		first := slices.IndexFunc(track.samples, func(v float32) bool { return v != 0 })
		if first < Rate/2 || first > Rate/2+2 {
			t.Errorf("%g dB: starts at sample %d", want, first)
		}
		if peak := slices.Max(track.samples); peak > 1 {
			t.Errorf("%g dB: clips at %.2f", want, peak)
		}
	}
}

// What is not a pop is not one: a net swells slowly, a foot is low.
func TestOthersAreNoPops(t *testing.T) {
	for name, put := range map[string]func(*Track, float64, float64){"net": (*Track).Net, "thud": (*Track).Thud} {
		track := &Track{samples: make([]float32, Rate), dice: NewTrack(.01, 7).dice}
		put(track, .5, 10)
		if d := 20 * math.Log10(loudest(track.samples)/Hiss); d > 12 {
			t.Errorf("%s: %.1f dB in the pop's band", name, d)
		}
	}
}

func TestResampledKeepsTones(t *testing.T) {
	x := make([]float32, Rate)
	for i := range x {
		x[i] = float32(math.Sin(2 * math.Pi * 1000 * float64(i) / Rate))
	}
	for _, step := range []float64{2, 3, .25} {
		y := resampled(x, step)
		for i := 500; i < len(y)-500; i += 97 {
			want := math.Sin(2 * math.Pi * 1000 * float64(i) * step / Rate)
			if math.Abs(float64(y[i])-want) > .01 {
				t.Fatalf("step %g: sample %d is %.3f, want %.3f", step, i, y[i], want)
			}
		}
	}
}
