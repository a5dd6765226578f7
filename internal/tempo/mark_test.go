package tempo

import (
	"math"
	"testing"
)

// Relative uncertainty of a hand-marked time, frame blur by JCGM 100:2008
// F.2.2.1 and an eye's spread of 8 ms (assumed), computed by hand.
func TestDurationUncertainty(t *testing.T) {
	for _, tt := range []struct{ fps, seconds, percent float64 }{
		{30, 0.45, 3.9}, {60, 0.45, 2.9}, {120, 0.45, 2.6}, {240, 0.45, 2.5},
		{30, 0.13, 13.6}, {60, 0.13, 10.2}, {240, 0.11, 10.4},
	} {
		u := MarkUncertainty(1/tt.fps, EyeSpread)
		if got := 100 * DurationUncertainty(u, u) / tt.seconds; math.Abs(got-tt.percent) > 0.06 {
			t.Errorf("%v s at %v frames/s: %.2f %%, want %.1f %%", tt.seconds, tt.fps, got, tt.percent)
		}
	}
	if got := 1000 * MarkUncertainty(1.0/60, 0); math.Abs(got-4.811) > 0.001 {
		t.Errorf("frame alone at 60: %.3f ms, want 4.811", got)
	}
}

func TestRemarkSpread(t *testing.T) {
	if _, ok := RemarkSpread([]float64{0.01, 0, 0, 0}, 1.0/60); ok {
		t.Error("four differences were enough")
	}
	// Differences of +-20 ms: one mark's spread is 20/sqrt 2 = 14.1 ms, less the blur.
	eye, ok := RemarkSpread([]float64{0.02, -0.02, 0.02, -0.02, 0.02}, 1.0/60)
	if want := math.Sqrt(0.0002 - 1.0/43200); !ok || math.Abs(eye-want) > 1e-9 {
		t.Errorf("spread %.5f, want %.5f", eye, want)
	}
	if eye, _ := RemarkSpread(make([]float64, 5), 1.0/60); eye != 1.0/240 {
		t.Errorf("a perfect repeat has spread %v, want a quarter frame", eye)
	}
}
