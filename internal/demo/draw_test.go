package demo

import (
	"bytes"
	"errors"
	"hash/crc32"
	"image"
	"math"
	"testing"

	"tenoff/internal/bullpen"
)

// short is one rep and little else: quick to draw.
func short(o Options) Options {
	o.Lead, o.Tail = 1.3, .6
	if o.Reps == nil {
		o.Reps = []RepSpec{{}}
	}
	if o.Pace == (FrameTiming{}) {
		o.Pace = FPS(30, 1)
	}
	return o
}

// sums returns a checksum of every small gray frame.
func sums(t *testing.T, take *Take, w, h int) []uint32 {
	t.Helper()
	var out []uint32
	err := take.Gray(t.Context(), w, h, func(i int, seconds float64, pixels []byte) error {
		if i != len(out) || seconds != take.Truth().Clock.FileSeconds(i) || len(pixels) != w*h {
			t.Fatalf("frame %d at %v s with %d pixels comes as number %d", i, seconds, len(pixels), len(out))
		}
		out = append(out, crc32.ChecksumIEEE(pixels))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestSameSeedSamePictures(t *testing.T) {
	o := short(Options{Seed: 3, Handheld: 4, Neighbour: true, PassersBy: 1, Sway: 2})
	a, b := sums(t, plan(t, o), 64, 36), sums(t, plan(t, o), 64, 36)
	if len(a) != plan(t, o).Frames() {
		t.Fatalf("%d frames", len(a))
	}
	for i := range a {
		if a[i] != b[i] {
			t.Fatalf("frame %d differs", i)
		}
	}
	o.Seed = 4
	if c := sums(t, plan(t, o), 64, 36); c[0] == a[0] {
		t.Error("another seed, the same picture")
	}
}

func TestDoubledFrames(t *testing.T) {
	const every = 6
	got := sums(t, plan(t, short(Options{Doubled: every})), 64, 36)
	clean := sums(t, plan(t, short(Options{})), 64, 36)
	doubled, missing := 0, 0
	shown := map[uint32]bool{}
	for i, s := range got {
		shown[s] = true
		if i > 0 && s == got[i-1] {
			doubled++
		}
	}
	for _, s := range clean[:len(got)/every*every] {
		if !shown[s] {
			missing++
		}
	}
	if want := len(got) / every; doubled < want || doubled > want+1 || missing != want {
		t.Errorf("of %d frames %d doubled and %d missing, want %d", len(got), doubled, missing, want)
	}
}

func TestGrayStops(t *testing.T) {
	enough := errors.New("enough")
	n := 0
	err := plan(t, short(Options{})).Gray(t.Context(), 64, 36, func(int, float64, []byte) error {
		if n++; n == 3 {
			return enough
		}
		return nil
	})
	if !errors.Is(err, enough) || n != 3 {
		t.Errorf("%v after %d frames", err, n)
	}
}

// Round a release the same frames are drawn as in the whole film, and no others.
func TestGrayRound(t *testing.T) {
	take := plan(t, short(Options{}))
	films := [2]map[int][]byte{{}, {}}
	keep := func(k int) func(int, float64, []byte) error {
		return func(i int, _ float64, p []byte) error {
			films[k][i] = bytes.Clone(p)
			return nil
		}
	}
	if err := take.Gray(t.Context(), 64, 36, keep(0)); err != nil {
		t.Fatal(err)
	}
	if err := take.GrayRound(t.Context(), 64, 36, 0.109, 0.059, keep(1)); err != nil {
		t.Fatal(err)
	}
	for i, p := range films[0] {
		near := false
		for _, r := range take.Truth().Reps {
			d := take.Truth().Clock.RealSeconds(0, i) - r.Release.Seconds
			near = near || d >= -0.109 && d <= 0.059
		}
		if got, drawn := films[1][i]; drawn != near || drawn && !bytes.Equal(got, p) {
			t.Errorf("frame %d: drawn %v, want %v, like the film's: %v", i, drawn, near, bytes.Equal(got, p))
		}
	}
	if len(films[1]) == 0 {
		t.Error("nothing was drawn")
	}
}

// yellow reports whether the ball's colour is seen near a place.
func yellow(p *image.YCbCr, x, y float64, within int) bool {
	for dy := -within; dy <= within; dy++ {
		for dx := -within; dx <= within; dx++ {
			at := image.Pt(int(x)+dx, int(y)+dy)
			if !at.In(p.Rect) {
				continue
			}
			c := p.YCbCrAt(at.X, at.Y)
			if c.Y > 130 && c.Cb < 90 && c.Cr > 110 {
				return true
			}
		}
	}
	return false
}

// The picture shows what the truth says: the ball is where it was computed to be.
func TestPictureShowsTheBall(t *testing.T) {
	for _, view := range []bullpen.View{bullpen.ViewSide, bullpen.ViewDiagonal, bullpen.ViewBehind} {
		for _, left := range []bool{false, true} {
			take := plan(t, short(Options{Seed: 2, Width: 320, Height: 180, View: view, Left: left, Pace: FPS(60, 1), Noise: -1, Handheld: 3, Shutter: 1. / 1000}))
			release := take.Truth().Reps[0].Release
			stage := take.stage(take.o.Width, take.o.Height, 1, false)
			easel := stage.NewEasel()
			seen := 0
			for _, frame := range []int{release.Frame + 1, release.Frame + 2, release.Frame + 3} {
				s := take.captured(frame)
				cam := take.view.camera(take.o.Width, take.o.Height).Moved(take.shaking.at(s, take.o.Width))
				x, y, ok := cam.Project(take.pitches[0].at(s - release.Seconds))
				stage.Draw(easel, take.frame(frame, take.o.Width))
				if ok && yellow(picture(easel.Canvas), x, y, 1) {
					seen++
				}
			}
			if seen < 3 && (view != bullpen.ViewBehind || seen < 2) { // from behind her leg may hide one
				t.Errorf("%s, left %v: the ball is seen in %d of 3 pictures", view, left, seen)
			}
		}
	}
}

func TestHandShakesAsMuchAsAsked(t *testing.T) {
	var squares, n, fastest float64
	for seed := range uint64(20) {
		take := plan(t, Options{Seed: seed, Handheld: 4, Reps: Series(2, 0, Same, 1)})
		for s := 0.0; s < take.seconds(); s += .05 {
			a, b := take.shaking.at(s, 640), take.shaking.at(s+1./60, 640)
			squares, n = squares+a.DX*a.DX, n+1
			fastest = max(fastest, math.Hypot(b.DX-a.DX, b.DY-a.DY))
			if m := take.shaking.margin(640, 360); math.Abs(a.DX) > float64(m) {
				t.Fatalf("moved %.1f px with a margin of %d", a.DX, m)
			}
		}
	}
	if sd := math.Sqrt(squares / n); sd < 3.4 || sd > 4.6 {
		t.Errorf("the hand shakes by %.2f px", sd)
	}
	if fastest > 4 {
		t.Errorf("the picture jumps by %.1f px in a 60th of a second", fastest)
	}
}

// In a film without noise on a tripod nothing but her changes.
func TestQuietPicture(t *testing.T) {
	take := plan(t, short(Options{Noise: -1}))
	var first []byte
	err := take.Gray(t.Context(), 160, 90, func(i int, _ float64, p []byte) error {
		if first == nil {
			first = bytes.Clone(p)
		}
		// The sky in the top rows.
		if !bytes.Equal(p[:160*5], first[:160*5]) {
			t.Errorf("frame %d: the sky changes", i)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
