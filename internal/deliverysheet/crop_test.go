package deliverysheet

import (
	"image"
	"math"
	"testing"

	"tenoff/internal/bullpen"
)

// Whatever the two films are like, both parts have one shape, both boxes are as high in
// them, and a part lies within its picture where that is large enough.
func TestCropsAreAlike(t *testing.T) {
	wide, tall, small := image.Pt(1280, 720), image.Pt(720, 1280), image.Pt(640, 360)
	side, narrow, edge := bullpen.Box{X: 0.28, Y: 0.22, Width: 0.47, Height: 0.72}, bullpen.Box{X: 0.4, Y: 0.2, Width: 0.2, Height: 0.7}, bullpen.Box{X: 0.8, Y: 0.3, Width: 0.2, Height: 0.6}
	for name, c := range map[string]struct {
		boxes [2]bullpen.Box
		sizes [2]image.Point
	}{
		"one film":          {[2]bullpen.Box{side, side}, [2]image.Point{wide, wide}},
		"two films":         {[2]bullpen.Box{side, narrow}, [2]image.Point{wide, wide}},
		"half as fine":      {[2]bullpen.Box{side, side}, [2]image.Point{wide, small}},
		"at the edge":       {[2]bullpen.Box{side, edge}, [2]image.Point{wide, small}},
		"lying and upright": {[2]bullpen.Box{narrow, side}, [2]image.Point{wide, tall}},
		"not found":         {[2]bullpen.Box{{}, side}, [2]image.Point{wide, wide}},
	} {
		got := crops(c.boxes, c.sizes)
		a, b := got[0], got[1]
		if x, y := shape(a), shape(b); math.Abs(x/y-1) > 0.01 {
			t.Errorf("%s: one is %.3f wide for its height, the other %.3f", name, x, y)
		}
		for i, r := range got {
			box := c.boxes[i]
			if box.None() {
				continue
			}
			share := box.Height * float64(c.sizes[i].Y) / float64(r.Dy())
			if share < 1/(1+2*room)-0.01 || share > 1.01 {
				t.Errorf("%s: the box of %d fills %.3f of its part's height", name, i, share)
			}
			if r.Dx() <= c.sizes[i].X && !r.In(image.Rectangle{Max: c.sizes[i]}) {
				t.Errorf("%s: part %v of %d reaches beyond its picture %v", name, r, i, c.sizes[i])
			}
		}
	}
}

func shape(r image.Rectangle) float64 { return float64(r.Dx()) / float64(r.Dy()) }
