package trace

import (
	"math"
	"testing"
)

// TestHeard listens to ten pops among claps, steps and a bat.
func TestHeard(t *testing.T) {
	for _, slow := range []float64{1, 4} {
		sound := &Sound{End: 90 * slow}
		add := func(at, z, peak float64) {
			sound.Onsets = append(sound.Onsets, Onset{Time: at * slow, Z: float32(z), Peak: float32(peak)})
		}
		var want []float64
		add(0.2, 20, -0.1) // too early for a ball to have flown
		for i := range 10 {
			pop := 5 + 8*float64(i)
			add(pop-1.2, 9, -3.2) // her foot
			add(pop, 25, -1-0.05*float64(i))
			add(pop+1.5, 14, -1.6) // the catcher's throw back
			add(pop+4, 12, -3)     // somebody claps further off
			add(pop+4.5, 5, -0.5)  // loud, and no more than the noise around it
			want = append(want, pop-heardFlight)
		}
		got := FindBySound(sound, slow)
		if len(got) != len(want) {
			t.Fatalf("slow %v: %d found, want %d: %+v", slow, len(got), len(want), got)
		}
		for i, c := range got {
			if math.Abs(c.Release-want[i]*slow) > 1e-9 || c.Sure || c.Confidence > doubtful || c.Reason != HeardAlone || c.From < 0 || c.From > c.Release || c.To > sound.End {
				t.Errorf("slow %v: %+v, want its release at %v", slow, c, want[i]*slow)
			}
		}
	}
	if got := FindBySound(nil, 1); len(got) != 0 {
		t.Errorf("without sound: %+v", got)
	}
}
