package peak

import (
	"math"
	"testing"
)

// A parabola's and a paraboloid's own summit is found exactly; what bends upwards or
// is highest far outside has none between the samples.
func TestPeak(t *testing.T) {
	for _, x := range []float64{-0.5, -0.2, 0, 0.37, 0.5} {
		at := func(i float64) float64 { return 3 - 2*(i-x)*(i-x) }
		if got := Between(at(-1), at(0), at(1)); math.Abs(got-x) > 1e-12 {
			t.Errorf("highest at %g is found at %g", x, got)
		}
	}
	if got := Between(1, 0, 2); got != 0 {
		t.Errorf("a valley's peak is %g", got)
	}
	if got := Between(0, 3, 5.9); got != 0.5 {
		t.Errorf("beyond the samples: %g, want half a step", got)
	}
	for _, p := range [][2]float64{{0, 0}, {0.4, -0.3}, {-1.2, 0.9}} {
		var z [3][3]float64
		for i := range 3 {
			for j := range 3 {
				x, y := float64(i-1)-p[0], float64(j-1)-p[1]
				z[i][j] = 1 - 2*x*x - 3*y*y - 1.5*x*y
			}
		}
		if x, y := Summit(z); math.Abs(x-p[0]) > 1e-12 || math.Abs(y-p[1]) > 1e-12 {
			t.Errorf("the summit at %v is found at %g, %g", p, x, y)
		}
	}
}

// The highest place is climbed to from wherever the middle is, no place is asked for twice, and
// one at an end of its row says so.
func TestClimb(t *testing.T) {
	for _, c := range []struct {
		x, y   float64 // of the summit, in places
		steps  float64 // from the middle
		inside bool
	}{{7.3, 2.2, 2.3, true}, {5, 2, 0, true}, {1.6, 1.9, -3.4, true}, {6.25, 0, 1.25, true}, {-3, 2, -5, false}, {14, 1, 5, false}} {
		asked := map[[2]int]int{}
		x, _, inside := Climb(11, 5, func(i, j int) float64 {
			asked[[2]int{i, j}]++
			dx, dy := float64(i)-c.x, float64(j)-c.y
			return 1 - dx*dx/40 - dy*dy/9
		})
		if math.Abs(x-c.steps) > 1e-9 || inside != c.inside {
			t.Errorf("the summit at %g, %g is found %g from the middle, inside: %v", c.x, c.y, x, inside)
		}
		for place, times := range asked {
			if times > 1 {
				t.Errorf("%v was asked for %d times", place, times)
			}
		}
	}
}
