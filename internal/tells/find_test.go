package tells

import (
	"math"
	"testing"
)

// A tell says its first step, its clearest, and on how many it is to be seen; one that no
// eye sees is none.
func TestFind(t *testing.T) {
	deliveries := func(n int, by func(step int) float64) (out []Delivery) {
		for i := range n {
			d := Delivery{make([]float64, 12), make([]float64, 12)}
			for s := range 12 {
				unrest := 0.1 * math.Sin(float64(17*i+3)) // any few numbers between -0.1 and 0.1
				d[0][s], d[1][s] = 50+unrest, unrest+by(s)
			}
			out = append(out, d)
		}
		return out
	}
	fast := deliveries(6, func(int) float64 { return 0 })
	off := deliveries(5, func(s int) float64 { return []float64{0, 0, 0, 0, -1, -2, -3, -2, -1, 0, 0, 0}[s] })
	found, ok := Find(fast, off, []float64{0.1, 1.5}, Origin{})
	if !ok || len(found.Tells) != 1 {
		t.Fatalf("%+v", found.Tells)
	}
	x := found.Tells[0]
	if x.Measure != 1 || x.Step != 5 || x.Last != 7 || x.Clearest != 6 || math.Abs(x.Off-x.Fast+3) > 0.1 || x.OnOff != 5 || x.SeenOff != 5 || x.OnFast != 0 || x.SeenFast != 6 {
		t.Errorf("%+v", x)
	}
	if found.Visible[1][2] != 1.5 {
		t.Errorf("less than an eye sees is visible: %v", found.Visible[1][2])
	}
	if found, _ := Find(fast, off, []float64{0.1, 4}, Origin{}); len(found.Tells) != 0 {
		t.Errorf("what no eye sees is a tell: %+v", found.Tells)
	}
	if _, ok := Find(fast[:3], off, []float64{0.1, 1}, Origin{}); ok {
		t.Error("three fastballs are enough")
	}
}
