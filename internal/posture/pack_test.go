package posture

import (
	"math"
	"math/rand/v2"
	"testing"

	"tenoff/internal/bullpen"
)

// clockOf is a film's of n frames at the given rate.
func clockOf(n int, rate int64) bullpen.Clock {
	c := bullpen.Clock{Num: 1, Den: rate}
	for i := range n {
		c.Ticks = append(c.Ticks, int64(i))
	}
	return c
}

// What was packed comes back, as closely as Pack promises.
func TestPack(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	c := clockOf(500, 60)
	var in Track
	for _, frame := range []int{3, 4, 7, 250, 499} {
		p := Pose{Frame: frame, Seconds: c.RealSeconds(0, frame), Box: bullpen.Box{X: -0.25, Y: 0.5, Width: 0.125, Height: 2}}
		for i := range p.Points {
			p.Points[i] = Point{X: 4*random.Float64() - 1, Y: 2 * random.Float64(), Sure: random.Float64()}
		}
		in = append(in, p)
	}
	packed := in.Pack()
	out, err := Unpack(packed, c)
	if err != nil || len(out) != len(in) {
		t.Fatalf("%d poses, %v", len(out), err)
	}
	for i, p := range in {
		if out[i].Frame != p.Frame || out[i].Seconds != p.Seconds || out[i].Box != p.Box {
			t.Errorf("pose %d: %+v, want %+v", i, out[i], p)
		}
		for j, q := range p.Points {
			got := out[i].Points[j]
			if math.Abs(got.X-q.X) > 1.0/16000 || math.Abs(got.Y-q.Y) > 1.0/16000 || math.Abs(got.Sure-q.Sure) > 1.0/500 {
				t.Errorf("pose %d joint %d: %v, want %v", i, j, got, q)
			}
		}
	}
	for cut := range packed {
		if out, err := Unpack(packed[:cut], c); err == nil && len(out)*onePose > cut {
			t.Errorf("cut at %d it gives %d poses", cut, len(out))
		}
	}
	if _, err := Unpack(packed, clockOf(400, 60)); err == nil {
		t.Error("frames that the film does not have are taken")
	}
	if _, err := Unpack(append([]byte{packing + 1}, packed[1:]...), c); err == nil {
		t.Error("another packing is taken")
	}
}
