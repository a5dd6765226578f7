package align

import (
	"math"
	"testing"
)

const cols, rows = 24, 16

// figure is a smooth spot whose middle stands at (x, y), in cells.
func figure(x, y float64) []float32 {
	out := make([]float32, cols*rows)
	for i := range out {
		dx, dy := float64(i%cols)-x, float64(i/cols)-y
		out[i] = float32(math.Exp(-dx*dx/9 - dy*dy/14))
	}
	return out
}

// The same figure set down in several places is laid over itself.
func TestOf(t *testing.T) {
	at := [][2]float64{{11, 8}, {12.5, 7.5}, {9, 8.25}, {11.5, 9}}
	var images [][]float32
	for _, p := range at {
		images = append(images, figure(p[0], p[1]))
	}
	for name, weights := range map[string][]float64{"all the same": nil, "by weight": {1, 0.5, 2, 1}} {
		got, _ := Of(images, weights, cols, rows)
		for i := range got {
			dx, dy := got[i].DX-got[0].DX, got[i].DY-got[0].DY
			if math.Abs(dx-(at[i][0]-at[0][0])) > 0.1 || math.Abs(dy-(at[i][1]-at[0][1])) > 0.1 {
				t.Errorf("%s: image %d stands at %.2f, %.2f of the first; it was set %.2f, %.2f off", name, i, dx, dy, at[i][0]-at[0][0], at[i][1]-at[0][1])
			}
		}
	}
}

// Moved by whole cells is the figure there; by half a cell it lies between both.
func TestMoved(t *testing.T) {
	from := figure(12, 8)
	for c, v := range Moved(from, cols, rows, 2, -1) {
		x, y := c%cols+2, c/cols-1
		want := float32(0)
		if x < cols && y >= 0 {
			want = from[y*cols+x]
		}
		if v != want {
			t.Fatalf("cell %d is %g, want %g", c, v, want)
		}
	}
	half := Moved(from, cols, rows, 0.5, 0)
	if c := 8*cols + 10; math.Abs(float64(half[c]-(from[c]+from[c+1])/2)) > 1e-6 {
		t.Errorf("half a cell aside is %g, between %g and %g", half[c], from[c], from[c+1])
	}
}

func TestExtent(t *testing.T) {
	v := make([]float64, 100)
	for i := 20; i < 60; i++ {
		v[i] = 1
	}
	v[3], v[90] = 0.2, 0.2 // a hair of it outside does not count
	if first, last := Extent(v); first != 20 || last != 59 {
		t.Errorf("all but a hundredth lies from %d to %d, want 20 to 59", first, last)
	}
}
