package posture_test

import (
	"math"
	"testing"

	"tenoff/internal/posture"
	"tenoff/internal/posture/posturetest"
)

// The lines lie where her joints are in the picture, whichever way she throws, and say how
// far she leans; hips are widest where they are.
func TestLines(t *testing.T) {
	for _, c := range []posturetest.Swing{{Lean: 20}, {Lean: 20, Leftward: true}, {Lean: 20, Left: true}} {
		track := tracked(c)
		b, err := posture.Of(track, 100)
		if err != nil {
			t.Fatal(err)
		}
		p := track[128]
		l, ok := b.LinesAt(letsGo, letsGo)
		near := func(a, b posture.Point) bool { return math.Hypot(a.X-b.X, a.Y-b.Y) < 0.004 }
		if !ok || !near(l.Hips[0], p.Points[posture.LeftHip]) || !near(l.Hips[1], p.Points[posture.RightHip]) || !near(l.Trunk[1], p.Points[posture.LeftShoulder]) {
			t.Errorf("%+v: %+v, %v; her joints are at %+v", c, l, ok, p.Points)
		}
		if math.Abs(l.Lean.Value-c.Lean) > 0.5 || l.HipsWide < 0.97 {
			t.Errorf("%+v: leans %.1f degrees, hips %.2f of their widest", c, l.Lean.Value, l.HipsWide)
		}
		if before, ok := b.LinesAt(letsGo-0.5, letsGo); !ok || before.HipsWide > 0.4 {
			t.Errorf("half a second before release her hips are %.2f of their widest, %v", before.HipsWide, ok)
		}
		if _, ok := b.LinesAt(9, letsGo); ok {
			t.Error("there are lines where nobody looked")
		}
	}
}
