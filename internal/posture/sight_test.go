package posture

import (
	"math"
	"testing"
)

// swing is a pitcher of made joints, 100 frames a second: her hips go forward, her front
// foot lands at 1.2 s, and her arm turns at 1000 degrees a second, straight up at 1.1 s and
// straight down again at 1.28 s. way is 1 to the picture's right, -1 to its left.
func swing(way float64, right bool) Track {
	var out Track
	for i := range 180 {
		t := float64(i) / 100
		var p Pose
		p.Frame, p.Seconds = i, t
		put := func(j Joint, x, y float64) {
			if !right {
				j = j.Other()
			}
			p.Points[j] = Point{X: 1 + way*x, Y: y, Sure: 0.9}
		}
		x := 0.3 / (1 + math.Exp(-12*(t-1)))
		put(LeftShoulder, x, 0.4)
		put(RightShoulder, x, 0.4)
		put(LeftHip, x+0.02, 0.6)
		put(RightHip, x-0.02, 0.6)
		put(LeftKnee, x+0.1, 0.75)
		put(RightKnee, x-0.1, 0.75)
		foot := 0.5 * min(max((t-0.8)/0.4, 0), 1)
		put(LeftAnkle, foot, 0.9)
		put(RightAnkle, 0, 0.9)
		angle := min(max(180+1000*(t-1.1), -30), 450) * math.Pi / 180
		put(RightElbow, x+0.1*math.Sin(angle), 0.4+0.1*math.Cos(angle))
		put(RightWrist, x+0.2*math.Sin(angle), 0.4+0.2*math.Cos(angle))
		put(LeftElbow, x+0.1, 0.5)
		put(LeftWrist, x+0.2, 0.5)
		out = append(out, p)
	}
	return out
}

// The arm's instants lie where it passes straight up and straight down, whichever way she
// throws, with whichever hand, and whatever was thought of the release.
func TestSightsOfASwing(t *testing.T) {
	for _, c := range []struct {
		way   float64
		right bool
	}{{1, true}, {-1, true}, {1, false}, {-1, false}} {
		b, err := Of(swing(c.way, c.right), 100)
		if err != nil {
			t.Fatal(err)
		}
		for _, early := range []float64{-0.06, 0, 0.03} {
			s := b.Sights(1.28+early, c.right)
			for what, at := range map[string][2]float64{"top": {s.Top.Seconds, 1.1}, "release": {s.Release.Seconds, 1.28}, "plant": {s.Plant.Seconds, 1.2}} {
				// The filter rounds the foot's corner off: half its 12 Hz wave.
				if within := map[bool]float64{true: 0.03, false: 0.002}[what == "plant"]; !(math.Abs(at[0]-at[1]) <= within) {
					t.Errorf("%+v, release said %+.0f ms off: %s at %.3f s, is at %.3f", c, 1000*early, what, at[0], at[1])
				}
			}
		}
	}
}

// A wrist that is a smear round an instant shows none; one frame of it does no harm.
func TestASmearShowsNoInstant(t *testing.T) {
	track := swing(1, true)
	track[128].Points[RightWrist].Sure = 0.4
	b, err := Of(track, 100)
	if err != nil {
		t.Fatal(err)
	}
	if s := b.Sights(1.28, true); !s.Release.Seen() || !s.Top.Seen() {
		t.Errorf("one frame less sure, and %+v", s)
	}
	for i := 125; i < 132; i++ {
		track[i].Points[RightWrist].Sure = 0.4
	}
	if b, err = Of(track, 100); err != nil {
		t.Fatal(err)
	}
	if s := b.Sights(1.28, true); s.Release.Seen() || !s.Top.Seen() {
		t.Errorf("a smear at release, and %+v", s)
	}
}

// An arm that hangs, or only swings back and forth below the shoulder, has no instants.
func TestNoCircleNoInstants(t *testing.T) {
	track := swing(1, true)
	for i := range track {
		sin, cos := math.Sincos(0.8 * math.Sin(float64(i)/10))
		s := track[i].Points[RightShoulder]
		track[i].Points[RightWrist] = Point{X: s.X + 0.2*sin, Y: s.Y + 0.2*cos, Sure: 0.9}
	}
	b, err := Of(track, 100)
	if err != nil {
		t.Fatal(err)
	}
	if s := b.Sights(1.28, true); s.Top.Seen() || s.Release.Seen() {
		t.Errorf("an arm that hangs shows %+v", s)
	}
}

// Two witnesses agree within what both are unsure by, and differ from two frames on.
func TestTwoWitnesses(t *testing.T) {
	s := Sight{Seconds: 1, U: 0.010}
	for _, c := range []struct {
		other, u, gap float64
		want          Beside
	}{
		{1.015, 0.004, 1.0 / 60, BesideAgrees},
		{1.030, 0.004, 1.0 / 60, BesideNothing}, // within two frames
		{1.035, 0.004, 1.0 / 60, BesideDiffers},
		{0.965, 0.004, 1.0 / 60, BesideDiffers},
		{1.015, 0.004, 1.0 / 240, BesideAgrees}, // two frames are less than both are unsure by
		{1.030, 0.004, 1.0 / 240, BesideDiffers},
		{1.060, 0.004, 1.0 / 30, BesideNothing},
		{math.NaN(), 0.004, 1.0 / 60, BesideNothing},
	} {
		if got := s.Beside(c.other, c.u, c.gap); got != c.want {
			t.Errorf("%.3f +- %.3f s beside 1.000 +- 0.010, a frame each %.3f s: %q, want %q", c.other, c.u, c.gap, got, c.want)
		}
	}
	if got := unseen().Beside(1, 0.01, 0.01); got != BesideNothing {
		t.Errorf("what is not seen is said to be %q", got)
	}
}
