package tempo

import (
	"math"
	"testing"

	"tenoff/internal/demo"
)

// What is not found on the marked rep itself where it is marked, nor alike on the
// fastballs, is sure nowhere.
func TestAstray(t *testing.T) {
	made := func(off ...float64) ([]Transferred, []Delivery) {
		out, reps := make([]Transferred, len(off)), make([]Delivery, len(off))
		for i, d := range off {
			reps[i] = Delivery{Fast: true, Marked: Unknown()}
			out[i].Plant = Found{Seconds: 1 + d, Match: 0.9, Sure: true}
		}
		reps[0].Marked.Plant = 1
		return out, reps
	}
	sure := func(all []Transferred) (n int) {
		for _, x := range all {
			if x.Plant.Sure {
				n++
			}
		}
		return n
	}
	whole := func(int, float64) float64 { return 1 }
	for _, c := range []struct {
		name string
		off  []float64
		want int
	}{
		{"near the mark", []float64{0.008, 0.02, 0, -0.01, 0.03}, 5},
		{"68 ms from the mark", []float64{0.068, 0.094, 0.094, 0.09, 0.09}, 0},
		{"one elsewhere", []float64{0.008, 0.02, 0.1, -0.01, 0}, 4},
		{"two of five elsewhere", []float64{0.008, 0.1, -0.09, -0.01, 0}, 0},
	} {
		out, reps := made(c.off...)
		doubtUnlikeMarks(out, reps)
		doubtUnlikeFastballs(out, reps, whole, Instants{})
		if n := sure(out); n != c.want {
			t.Errorf("%s: %d sure, want %d", c.name, n, c.want)
		}
	}
}

// Of a film with every fourth frame shown twice and another left out what is called
// sure lies within a frame of the truth, the mark's own error taken off.
func TestSureOnDoubledFrames(t *testing.T) {
	t.Parallel()
	o := usual(6100, demo.Same, 1)
	o.Doubled, o.Rest, o.Handheld, o.Noise = 4, 4.57, 3, 4
	f := film(t, o)
	reps := f.deliveries(6100)
	k := f.motion.Cadence()
	got, err := Transfer(reps)
	if err != nil {
		t.Fatal(err)
	}
	sure := 0
	for i := range instants {
		mark := math.NaN()
		truth := func(r demo.RepTruth) float64 {
			all := Instants{r.Drive.Seconds, r.Plant.Seconds, r.Top.Seconds, r.Release.Seconds}
			return *all.list()[i]
		}
		for j, d := range reps {
			if m := *d.Marked.list()[i]; !math.IsNaN(m) {
				mark = k.Taken(m) - truth(f.truth.Reps[j])
			}
		}
		for j := range got {
			x := got[j].list()[i]
			if !x.Sure {
				continue
			}
			sure++
			if off := x.Seconds - truth(f.truth.Reps[j]) - mark; math.Abs(off) > 1.0/30 {
				t.Errorf("rep %d, instant %d: sure and %.0f ms off", j+1, i+1, 1000*off)
			}
		}
	}
	if sure < len(got) {
		t.Errorf("only %d instants of %d reps are sure", sure, len(got))
	}
}
