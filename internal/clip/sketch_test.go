package clip

import (
	"fmt"
	"testing"

	"tenoff/internal/bullpen"
)

// scribble fills a tenth of the picture from x, 0.5 on with ink, as no film here does.
func scribble(frame int, x float64) Sketch {
	s := bullpen.Shape{Kind: bullpen.FreehandShape, Colour: 2}
	for y := 0.5; y < 0.6; y += 0.004 {
		s.Points = append(s.Points, bullpen.Point{x, y}, bullpen.Point{x + 0.1, y})
	}
	return Sketch{Frame: frame, Shapes: []bullpen.Shape{s}}
}

// inked says of every frame of a clip whether the middle of a scribble lies in the
// ink of the page's third colour, ff7a66. The picture is in place.
func inked(t *testing.T, path string, x float64, left, width, height int) []bool {
	t.Helper()
	crop := fmt.Sprintf("crop=%d:%d:%d:%d,scale=1:1:flags=area", width/20, height/20, left+int((x+0.025)*float64(width)), int(0.525*float64(height)))
	rgb := run(t, "ffmpeg", "-v", "error", "-i", path, "-vf", crop, "-fps_mode", "passthrough", "-f", "rawvideo", "-pix_fmt", "rgb24", "-")
	out := make([]bool, len(rgb)/3)
	for i := range out {
		far := 0
		for c, want := range []int{0xff, 0x7a, 0x66} {
			far = max(far, int(rgb[3*i+c])-want, want-int(rgb[3*i+c]))
		}
		out[i] = far < 32
	}
	return out
}

// What was drawn is on the clip from the frame it was drawn on for a second, or until
// the next drawing, in the repeat too; the release is where it is without.
func TestSketchesAreBurnedIn(t *testing.T) {
	for _, c := range []struct {
		name string
		film recipe
		fps  int
	}{
		{"30", recipe{}, 30},
		{"120, thinned", recipe{fps: "120", seconds: 3}, 60},
	} {
		t.Run(c.name, func(t *testing.T) {
			film := shared.make(t, "sketched "+c.name, c.film)
			release := film.Clock.Frames() / 2
			every := release / (2 * c.fps) // frames of the film for one of the clip, about
			first, second := release-8*max(every, 1), release+5*max(every, 1)
			s := Single{Side: Side{film, release, facts(), nil}, Window: Window{Before: 1, After: 0.5}, Repeat: true}
			plain, err := PlanSingle(s)
			if err != nil {
				t.Fatal(err)
			}
			s.Sketches = []Sketch{scribble(first, 0.75), scribble(second, 0.85), scribble(0, 0.6)}
			p, err := PlanSingle(s)
			if err != nil {
				t.Fatal(err)
			}
			if p.Release != plain.Release || p.Length != plain.Length || p.Bar != plain.Bar {
				t.Errorf("release at %v of %v, without sketches %v of %v", p.Release, p.Length, plain.Release, plain.Length)
			}
			path := made(t, func() (Plan, error) { return p, nil })
			w, h := p.Width, p.Bar.Top
			frames := look(t, path, p, place{0, 0, w, filmWidth}, 0, w)
			a, b, never := inked(t, path, 0.75, 0, w, h), inked(t, path, 0.85, 0, w, h), inked(t, path, 0.6, 0, w, h)
			if len(a) != len(frames) || len(b) != len(frames) {
				t.Fatalf("%d, %d and %d frames", len(frames), len(a), len(b))
			}
			seen, again := 0, 0
			for i, f := range frames {
				repeat := f.at >= int64(p.Cues[len(p.Cues)-1].Start.Seconds()*rate) && f.number <= release
				want := f.number >= first && f.number < second
				if a[i] && !want || !a[i] && want && !repeat { // a second of the repeat is less of the film
					t.Errorf("frame %d at %d: the first drawing is there: %t", f.number, f.at, a[i])
				}
				if b[i] != (f.number >= second) || never[i] {
					t.Errorf("frame %d at %d: the second drawing is there: %t, one of another time: %t", f.number, f.at, b[i], never[i])
				}
				if a[i] && f.at < int64(p.Release.Seconds()*rate) {
					seen++
				}
				if a[i] && f.at > int64((p.Release.Seconds()+0.5)*rate) {
					again++
				}
			}
			if seen < 4 || again < 4 {
				t.Errorf("seen on %d frames before release, and on %d of the repeat", seen, again)
			}
		})
	}
}

// In a pair each film has its own drawings in its own cell.
func TestSketchesInAPair(t *testing.T) {
	film := shared.make(t, "sketched 30", recipe{})
	p, err := PlanPair(Pair{
		Left: Side{film, 80, facts(), []Sketch{scribble(75, 0.2)}}, Right: Side{film, 90, facts(), []Sketch{scribble(93, 0.6)}},
		Window: Window{Before: 0.5, After: 0.3}, Speed: 0.5,
	})
	if err != nil {
		t.Fatal(err)
	}
	path := made(t, func() (Plan, error) { return p, nil })
	w, h := p.Width/2, p.Bar.Top
	for i, cell := range []struct {
		x           float64
		from, frame int
	}{{0.2, 75, 80}, {0.6, 93, 90}} {
		frames := look(t, path, p, place{i * w, 0, w, filmWidth}, 0, p.Width)
		here, there := inked(t, path, cell.x, i*w, w, h), inked(t, path, cell.x, (1-i)*w, w, h)
		seen := 0
		for k, f := range frames {
			if here[k] != (f.number >= cell.from) || there[k] {
				t.Errorf("side %d, frame %d: drawn %t, on the other side %t", i, f.number, here[k], there[k])
			}
			if here[k] {
				seen++
			}
		}
		if seen == 0 {
			t.Errorf("side %d shows no drawing", i)
		}
	}
}

// What follows her is on show with its frame and no longer, is held with the last frame of
// the repeat, and leaves what somebody drew alone.
func TestSketchesThatMove(t *testing.T) {
	film := shared.make(t, "sketched 30", recipe{})
	release := film.Clock.Frames() / 2
	const first, x, every = 4, 0.6, 0.1 // frames before release, and where each draws
	sketches := []Sketch{scribble(release-first, 0.9)}
	for i := range 2 * first {
		k := scribble(release-first+i, x+every*float64(i%2))
		k.Moving = true
		sketches = append(sketches, k)
	}
	p, err := PlanSingle(Single{Side: Side{film, release, facts(), sketches}, Window: Window{Before: 1, After: 0.5}, Repeat: true})
	if err != nil {
		t.Fatal(err)
	}
	path := made(t, func() (Plan, error) { return p, nil })
	w, h := p.Width, p.Bar.Top
	frames := look(t, path, p, place{0, 0, w, filmWidth}, 0, w)
	even, odd, drawn := inked(t, path, x, 0, w, h), inked(t, path, x+every, 0, w, h), inked(t, path, 0.9, 0, w, h)
	seen := 0
	for i, f := range frames {
		n := f.number - (release - first)
		moves := n >= 0 && n < 2*first
		if even[i] != (moves && n%2 == 0) || odd[i] != (moves && n%2 == 1) {
			t.Errorf("frame %d at %d: drawn %t and %t, it is number %d of those that are", f.number, f.at, even[i], odd[i], n)
		}
		if moves && f.at < int64((p.Release.Seconds()+0.5)*rate) && !drawn[i] { // what is drawn stays a second
			t.Errorf("frame %d at %d: what somebody drew is gone", f.number, f.at)
		}
		if moves {
			seen++
		}
	}
	if seen < 3*first {
		t.Errorf("%d frames of it are in the clip and its repeat", seen)
	}
}
