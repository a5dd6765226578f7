package clip

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"tenoff/internal/caption"
	"tenoff/internal/film"
)

// probed returns a film as the program itself sees it.
func probed(t *testing.T, path string) Source {
	t.Helper()
	f, err := film.Probe(context.Background(), path, "")
	if err != nil {
		t.Fatal(err)
	}
	return Source{Path: path, Cut: f.Cut, Clock: f.Clock, Width: f.Width, Height: f.Height, HDR: f.HDR()}
}

// What package film says of a film is what clips are cut by: on the films whose
// clocks are the hardest it agrees with what the tests found themselves.
func TestFilmAndClipMeanTheSameFrames(t *testing.T) {
	for _, c := range cuts {
		switch c.name {
		case "jitter in 600ths", "late picture", "trimmed in the phone":
		default:
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			ours := shared.make(t, c.name, c.recipe)
			theirs := probed(t, ours.Path)
			if theirs.Clock.Frames() != ours.Clock.Frames() || theirs.hasSound() != ours.hasSound() || theirs.Width != ours.Width {
				t.Fatalf("%d frames of %d, %+v", theirs.Clock.Frames(), ours.Clock.Frames(), theirs.Cut)
			}
			for i := range ours.Clock.Ticks {
				if ours.ticks(i) != theirs.ticks(i) {
					t.Fatalf("frame %d at %d, they say %d", i, ours.ticks(i), theirs.ticks(i))
				}
			}
		})
	}
}

// Real films, where there are any: each gives a clip whose release is shown at the
// promised time.
func TestRealFilms(t *testing.T) {
	dir := os.Getenv("TENOFF_REAL_CLIPS")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "clips")
	}
	entries, err := os.ReadDir(dir)
	if os.IsNotExist(err) {
		return // they are no part of the project
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		switch filepath.Ext(e.Name()) {
		case ".mp4", ".avi", ".mov", ".mkv":
		default:
			continue
		}
		t.Run(e.Name(), func(t *testing.T) {
			t.Parallel()
			path, err := filepath.Abs(filepath.Join(dir, e.Name()))
			if err != nil {
				t.Fatal(err)
			}
			source := probed(t, path)
			release := source.Clock.Frames() / 2
			p, err := PlanSingle(Single{Side: Side{source, release, facts(), nil}, Window: Window{Before: 0.5, After: 0.3}})
			if err != nil {
				t.Fatal(err)
			}
			out := made(t, func() (Plan, error) { return p, nil })
			frames := look(t, out, p, place{width: p.Width, of: p.Width}, 0, p.Width)
			want := int64(p.Release.Seconds()*rate + 0.5)
			for i, f := range frames {
				if f.at == want {
					if i == 0 || f.differs(frames[i-1]) < 4 {
						t.Errorf("the number does not come on with frame %d", i)
					}
					// The same picture as in the film, by its own decoding.
					if d := unlike(t, path, source, release, out, want, p); d > 6 {
						t.Errorf("the picture at release is another: %.1f", d)
					}
					return
				}
			}
			t.Errorf("no frame at %d", want)
		})
	}
}

// unlike compares the film's frame with the clip's at tick, both made very small:
// the mean difference of a pixel.
func unlike(t *testing.T, path string, s Source, frame int, out string, tick int64, p Plan) float64 {
	t.Helper()
	small := func(from, pick, crop string) []byte {
		return run(t, "ffmpeg", "-v", "error", "-i", from, "-vf", pick+crop+",scale=32:18:flags=area,format=gray", "-frames:v", "1", "-fps_mode", "passthrough", "-f", "rawvideo", "-")
	}
	a := small(path, "select='eq(n,"+itoa(int64(frame))+")'", "")
	b := small(out, "select='gte(t,"+float(float64(tick)/rate-1e-4)+")'", ",crop=iw:"+itoa(int64(p.Bar.Top))+":0:0")
	if len(a) != len(b) || len(a) == 0 {
		t.Fatalf("%d and %d pixels", len(a), len(b))
	}
	sum := 0
	for i := range a {
		sum += max(int(a[i])-int(b[i]), int(b[i])-int(a[i]))
	}
	return float64(sum) / float64(len(a))
}

// A transport stream can't be cut exactly; what package film makes of it for
// cutting can.
func TestTransportStream(t *testing.T) {
	stream := shared.make(t, "transport", recipe{ext: ".ts", sound: true, seconds: 3})
	ctx := context.Background()
	facts, err := film.Probe(ctx, stream.Path, "")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	read, err := film.Read(ctx, stream.Path, facts, dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	if read.Cut.File == "" {
		t.Fatal("nothing was made to cut from")
	}
	source := Source{Path: filepath.Join(dir, read.Cut.File), Cut: read.Cut, Clock: read.Clock, Width: facts.Width, Height: facts.Height}
	p, err := PlanSingle(Single{Side: Side{source, 55, caption.Facts{Pitch: "ch"}, nil}, Window: Window{Before: 0.5, After: 0.3}})
	if err != nil {
		t.Fatal(err)
	}
	out := made(t, func() (Plan, error) { return p, nil })
	checkSwitch(t, look(t, out, p, place{width: p.Width, of: facts.Width}, 0, p.Width), 55, int64(p.Release.Seconds()*rate+0.5))
}
