package clip

import (
	"context"
	"path/filepath"
	"testing"
)

// Two films that have nothing in common: rate, size, clock, slow factor. Both
// release frames come on at the same frame of the clip, and so do both numbers.
func TestPairReleasesTogether(t *testing.T) {
	wide := func(t *testing.T) Source {
		return shared.make(t, "59.94", recipe{fps: "60000/1001", base: 60000, seconds: 5})
	}
	for _, c := range []struct {
		name        string
		left, right func(t *testing.T) Source
		lrel, rrel  int
		speed       float64
		window      Window
	}{
		{"wide 59.94, high 30 with sound", wide, func(t *testing.T) Source {
			return shared.make(t, "high", recipe{size: "128x192", sound: true})
		}, 171, 80, 1, Window{}},
		{"quarter speed, jitter and 240 slowed 8 times", func(t *testing.T) Source {
			return shared.make(t, "jitter in 600ths", recipe{times: jitter, base: 600, ext: ".mov", sound: true})
		}, func(t *testing.T) Source {
			return shared.make(t, "slowed 8 times", recipe{seconds: 12, sound: true}).slowed(8)
		}, 97, 203, 0.25, Window{Before: 0.6, After: 0.4}},
		{"near the start and near the end", wide, wide, 20, 290, 1, Window{Before: 0.5, After: 0.5}},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, r := c.left(t), c.right(t)
			p, err := PlanPair(Pair{Left: Side{l, c.lrel, facts(), nil}, Right: Side{r, c.rrel, facts(), nil}, Window: c.window, Speed: c.speed})
			if err != nil {
				t.Fatal(err)
			}
			out := filepath.Join(t.TempDir(), "out.mp4")
			if err := Run(context.Background(), p, out, nil); err != nil {
				t.Fatal(err)
			}
			cell := p.Width / 2
			for i, s := range []Source{l, r} {
				w, h := s.within(cell, p.Bar.Top)
				// The row of the clock changes with every frame: look below it.
				below := p
				below.Bar.Top += p.Bar.Height / 3
				below.Bar.Height -= p.Bar.Height / 3
				frames := look(t, out, below, place{i*cell + (cell-w)/2, (p.Bar.Top - h) / 2, w, s.Width}, i*cell, cell)
				checkSwitch(t, frames, []int{c.lrel, c.rrel}[i], int64(p.Release.Seconds()*rate+0.5))
				for k, f := range frames {
					if step := frames[1].at; f.at != int64(k)*step {
						t.Fatalf("frame %d at %d, a step is %d", k, f.at, step)
					}
				}
				if want := int(p.Length.Seconds()*rate/float64(frames[1].at) + 0.5); len(frames) != want {
					t.Errorf("%d frames, want %d", len(frames), want)
				}
			}
		})
	}
}
