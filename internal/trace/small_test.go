package trace

import (
	"testing"

	"tenoff/internal/demo"
)

// Somebody who fills a sixth of the picture's height is found, but when the ball leaves
// her hand can't be told on her without a mark: nothing is sure then.
func TestSmallPersonsAreAskedAbout(t *testing.T) {
	t.Parallel()
	take, err := demo.Plan(demo.Options{Seed: 86, Reps: pitches(3), Rest: 4.5, Noise: 2, Pace: demo.FPS(30, 1)})
	if err != nil {
		t.Fatal(err)
	}
	// The film is drawn small and put amid a still wall.
	const width, height, w, h = 160, 90, 48, 26
	wall := newScene(width, height, 0, 4).draw(Shift{}, disc{})
	s := session{truth: take.Truth()}
	meter := NewMeter(width, height, 1)
	frame := make([]byte, width*height)
	if err := take.Gray(t.Context(), 2*w, 2*h, func(_ int, seconds float64, p []byte) error {
		copy(frame, wall)
		for y := range h {
			for x := range w {
				at := 2*y*2*w + 2*x
				frame[(y+height/2-h/2)*width+x+width/2-w/2] = byte((int(p[at]) + int(p[at+1]) + int(p[at+2*w]) + int(p[at+2*w+1])) / 4)
			}
		}
		meter.Add(frame, seconds)
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	s.motion = meter.Motion()
	ear := NewEar(24000, 1)
	ear.Add(take.Sound(24000))
	s.sound = ear.Sound()
	f := Find(s.motion, s.sound)
	if got := s.compare(f); got.sure+got.false_ > 0 || got.asked != got.reps {
		t.Errorf("%d reps: %d sure, %d asked about", got.reps, got.sure, got.asked)
	}
	for _, c := range f.Candidates {
		if c.Spread < 0.1 {
			t.Errorf("a release on so small a person is said to be known to %.3f s", c.Spread)
		}
	}
	mark := s.truth.Clock.FileSeconds(s.truth.Reps[0].Release.Frame)
	after := s.compare(Transfer(s.motion, s.sound, []float64{mark}))
	for i, e := range after.errors {
		if off := e - (mark - s.truth.Reps[0].Release.Seconds); off > 0.017 || off < -0.017 {
			t.Errorf("release %d is %.0f ms off although one was marked", i+1, 1000*off)
		}
	}
}
