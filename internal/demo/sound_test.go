package demo

import (
	"math"
	"testing"
)

// power returns the mean square between two seconds, after taking the first
// difference: low tones do not count.
func power(pcm []int16, rate int, from, to float64) float64 {
	a, b := max(int(from*float64(rate)), 1), min(int(to*float64(rate)), len(pcm))
	var sum float64
	for i := a; i < b; i++ {
		d := float64(pcm[i]) - float64(pcm[i-1])
		sum += d * d
	}
	return sum / float64(b-a)
}

// The pop starts where the truth says, to the millisecond, at every rate, slowed
// or not, early or late.
func TestPopStartsWhereTruthSays(t *testing.T) {
	tests := map[string]struct {
		o    Options
		rate int
	}{
		"usual":  {Options{}, 48000},
		"24 kHz": {Options{}, 24000},
		"late":   {Options{Sound: Sound{Late: .04}}, 48000},
		"early":  {Options{Sound: Sound{Late: -.03}}, 24000},
		"slowed": {Options{Pace: FPS(120, 1), Slow: 4}, 48000},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			o := test.o
			o.Seed, o.Reps, o.Rest, o.Lead, o.Tail = 4, Series(1, 1, Same, 1), 4.5, .5, 1
			o.Sound.PopLevel = 30
			take := plan(t, o)
			slow := float64(take.o.Slow)
			pcm := take.Sound(test.rate)
			if want := (take.seconds() + 1/take.o.Pace.rate()) * slow * float64(test.rate); math.Abs(float64(len(pcm))-want) > 8 {
				t.Errorf("%d samples, want %.0f", len(pcm), want)
			}
			for i, r := range take.Truth().Reps {
				// Slowed sound is poor in high tones, its pop climbs slower.
				at := r.Pop * slow
				before := power(pcm, test.rate, at-.012*slow, at-.0002*slow)
				after := power(pcm, test.rate, at+.0003*slow, at+.0018*slow)
				if after < 8*before {
					t.Errorf("rep %d: %.0f before, %.0f after the pop's start", i+1, before, after)
				}
			}
		})
	}
}

func TestNoSound(t *testing.T) {
	if pcm := plan(t, short(Options{Sound: Sound{Off: true}})).Sound(48000); pcm != nil {
		t.Errorf("%d samples of silence", len(pcm))
	}
}

func TestNetDoesNotPop(t *testing.T) {
	take := plan(t, Options{Seed: 6, Reps: Series(2, 0, Same, 1), Rest: 4.5, Lead: 1, Tail: 1, Sound: Sound{Net: true, Wind: -1}})
	pcm := take.Sound(48000)
	for i, p := range take.pitches {
		at := p.release + p.flight + take.hears(p.to)
		before, after := power(pcm, 48000, at-.05, at), power(pcm, 48000, at, at+.01)
		if after > 3*before {
			t.Errorf("rep %d: the net is %.1f times as loud as the hiss", i+1, after/before)
		}
	}
}
