package tells

import (
	"math"
	"testing"
)

// At the same step every delivery is equally far from one instant to the next.
func TestWarp(t *testing.T) {
	nan := math.NaN()
	slow := Instants{Drive: 0.72, Plant: 0.12, Top: 0.16}
	fast := Instants{Drive: 0.48, Plant: 0.08, Top: 0.16}
	p := Warp([]Instants{fast, slow})
	if p.Mean.Drive != 0.6 || math.Abs(p.Before[0]-1) > stepSeconds || p.Before[len(p.Before)-1] != stepSeconds {
		t.Fatalf("%+v", p)
	}
	for s, before := range p.Before {
		// Mean instants 0.6, 0.16, 0.1.
		var want [2]float64
		switch {
		case before >= 0.6:
			want = [2]float64{before - 0.12, before + 0.12}
		case before >= 0.16:
			share := (before - 0.16) / 0.44
			want = [2]float64{0.16 + share*0.32, 0.16 + share*0.56}
		case before >= 0.1:
			share := (before - 0.1) / 0.06
			want = [2]float64{0.08 + share*0.08, 0.12 + share*0.04}
		default:
			want = [2]float64{0.8 * before, 1.2 * before}
		}
		for i := range want {
			if got := p.Own[i][s]; math.Abs(got-want[i]) > 1e-9 {
				t.Errorf("delivery %d at %.2f s: %.4f, want %.4f", i, before, got, want[i])
			}
		}
	}

	// An instant that one of them lacks, or that comes in another order, is not used.
	p = Warp([]Instants{{nan, 0.1, 0.2}, {0.5, 0.2, 0.1}})
	if !math.IsNaN(p.Mean.Drive) || p.Before[0] < beforeRelease-stepSeconds {
		t.Errorf("%+v", p)
	}
	for s, before := range p.Before {
		want := before - 0.05
		if before < 0.15 {
			want = before / 1.5
		}
		if got := p.Own[0][s]; math.Abs(got-want) > 1e-9 {
			t.Errorf("at %.2f s: %.4f, want %.4f", before, got, want)
		}
	}
}
