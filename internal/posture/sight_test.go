package posture_test

import (
	"math"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/posture/posturetest"
)

// clock is of 1.8 s at 100 frames a second.
func clock() bullpen.Clock {
	c := bullpen.Clock{Num: 1, Den: 100}
	for i := range 180 {
		c.Ticks = append(c.Ticks, int64(i))
	}
	return c
}

const letsGo = 1.28 // seconds

func tracked(s posturetest.Swing) posture.Track {
	s.Release = letsGo
	return s.Track(clock(), 0, 179)
}

// The arm's instants lie where it passes straight up and straight down, whichever way she
// throws, with whichever hand, and whatever was thought of the release.
func TestSightsOfASwing(t *testing.T) {
	for _, c := range []posturetest.Swing{{}, {Leftward: true}, {Left: true}, {Left: true, Leftward: true}} {
		b, err := posture.Of(tracked(c), 100)
		if err != nil {
			t.Fatal(err)
		}
		for _, early := range []float64{-0.06, 0, 0.03} {
			s := b.Sights(letsGo+early, !c.Left)
			for what, at := range map[string][2]float64{"top": {s.Top.Seconds, letsGo - posturetest.Top}, "release": {s.Release.Seconds, letsGo}, "plant": {s.Plant.Seconds, letsGo - posturetest.Plant}} {
				// The filter rounds the foot's corner off: half its 12 Hz wave.
				if within := map[bool]float64{true: 0.03, false: 0.002}[what == "plant"]; math.Abs(at[0]-at[1]) > within {
					t.Errorf("%+v, release said %+.0f ms off: %s at %.3f s, is at %.3f", c, 1000*early, what, at[0], at[1])
				}
			}
		}
	}
}

// A foot that only pauses in the air has not landed: it stands a trunk's length from there
// as she lets go.
func TestAFootThatPausesHasNotLanded(t *testing.T) {
	track := tracked(posturetest.Swing{})
	for i := range track {
		t := track[i].Seconds - letsGo
		x := 0.3 * min(max((t+0.5)/0.2, 0), 1)   // quickly, until 0.3 s before
		x += 0.2 * min(max((t+0.17)/0.15, 0), 1) // and on, 0.13 s later
		track[i].Points[posture.LeftAnkle].X = 1 + x
	}
	b, err := posture.Of(track, 100)
	if err != nil {
		t.Fatal(err)
	}
	if s := b.Sights(letsGo, true); s.Plant.Seen() || !s.Release.Seen() {
		t.Errorf("a foot that pauses shows %+v", s)
	}
}

// A wrist that is a smear round an instant shows none; one frame of it does no harm.
func TestASmearShowsNoInstant(t *testing.T) {
	track := tracked(posturetest.Swing{})
	track[128].Points[posture.RightWrist].Sure = 0.4
	b, err := posture.Of(track, 100)
	if err != nil {
		t.Fatal(err)
	}
	if s := b.Sights(letsGo, true); !s.Release.Seen() || !s.Top.Seen() {
		t.Errorf("one frame less sure, and %+v", s)
	}
	for i := 125; i < 132; i++ {
		track[i].Points[posture.RightWrist].Sure = 0.4
	}
	if b, err = posture.Of(track, 100); err != nil {
		t.Fatal(err)
	}
	if s := b.Sights(letsGo, true); s.Release.Seen() || !s.Top.Seen() {
		t.Errorf("a smear at release, and %+v", s)
	}
}

// An arm that hangs, or only swings back and forth below the shoulder, has no instants.
func TestNoCircleNoInstants(t *testing.T) {
	track := tracked(posturetest.Swing{})
	for i := range track {
		sin, cos := math.Sincos(0.8 * math.Sin(float64(i)/10))
		s := track[i].Points[posture.RightShoulder]
		track[i].Points[posture.RightWrist] = posture.Point{X: s.X + 0.2*sin, Y: s.Y + 0.2*cos, Sure: 0.9}
	}
	b, err := posture.Of(track, 100)
	if err != nil {
		t.Fatal(err)
	}
	if s := b.Sights(letsGo, true); s.Top.Seen() || s.Release.Seen() {
		t.Errorf("an arm that hangs shows %+v", s)
	}
}

// Two witnesses agree within what both are unsure by, and differ from two frames on.
func TestTwoWitnesses(t *testing.T) {
	s := posture.Sight{Seconds: 1, U: 0.010}
	for _, c := range []struct {
		other, u, gap float64
		want          posture.Beside
	}{
		{1.015, 0.004, 1.0 / 60, posture.BesideAgrees},
		{1.030, 0.004, 1.0 / 60, posture.BesideNothing}, // within two frames
		{1.035, 0.004, 1.0 / 60, posture.BesideDiffers},
		{0.965, 0.004, 1.0 / 60, posture.BesideDiffers},
		{1.015, 0.004, 1.0 / 240, posture.BesideAgrees}, // two frames are less than both are unsure by
		{1.030, 0.004, 1.0 / 240, posture.BesideDiffers},
		{1.060, 0.004, 1.0 / 30, posture.BesideNothing},
		{math.NaN(), 0.004, 1.0 / 60, posture.BesideNothing},
	} {
		if got := s.Beside(c.other, c.u, c.gap); got != c.want {
			t.Errorf("%.3f +- %.3f s beside 1.000 +- 0.010, a frame each %.3f s: %q, want %q", c.other, c.u, c.gap, got, c.want)
		}
	}
	if got := (posture.Sight{}).Beside(0, 0.01, 0.01); got != posture.BesideNothing {
		t.Errorf("what is not seen is said to be %q", got)
	}
}
