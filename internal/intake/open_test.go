package intake

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/store"
)

// TestOpenedThenRead opens a film, marks a rep on it, and reads it: the mark stays, and
// what is shown before is there until the end.
func TestOpenedThenRead(t *testing.T) {
	p := newPlace(t, Options{})
	f := p.receive("a.mov", filmBytes(t))
	if f.Steppable() {
		t.Error("steppable before anybody looked at it")
	}
	if err := p.opens(); err != nil {
		t.Fatal(err)
	}
	f = p.films()[0]
	if f.State != bullpen.FilmReading || !f.Steppable() || f.Clock.Frames() != 30 || f.Width != 192 || f.Made.Working != "" {
		t.Fatalf("opened: %+v", f)
	}
	if pen, _, err := p.store.Bullpen(t.Context(), p.pen.ID); err != nil || pen.Day != "2026-04-11" {
		t.Errorf("the bullpen's day is %s, %v", pen.Day, err)
	}
	if n := p.whole(); n != 1 {
		t.Errorf("%d files", n)
	}
	r, _, err := p.store.AddRep(t.Context(), bullpen.Rep{BullpenID: p.pen.ID, FilmID: f.ID, Drive: -1, Plant: -1, Top: -1, Release: 17, Pitch: bullpen.Fastball})
	if err != nil {
		t.Fatal(err)
	}
	before := p.played(f)
	if err := p.ReadFilm(t.Context(), p.take(), func(float64) {}); err != nil {
		t.Fatal(err)
	}
	f = p.films()[0]
	if f.State != bullpen.FilmReady || f.Clock.Frames() != 30 || f.Made.Working == "" {
		t.Errorf("read: %+v", f)
	}
	if r, err = p.store.Rep(t.Context(), r.ID); err != nil || r.Release != 17 {
		t.Errorf("marked at %d, %v", r.Release, err)
	}
	if after := p.played(f); !bytes.Equal(before, after) {
		t.Error("what pages showed before is no more what it was")
	}
}

// played is the whole of a film as it can be stepped.
func (p *place) played(f store.Film) []byte {
	p.t.Helper()
	o, file, err := p.Opened(p.t.Context(), f)
	if err != nil {
		p.t.Fatal(err)
	}
	defer file.Close()
	all, err := io.ReadAll(o.Reader())
	if err != nil {
		p.t.Fatal(err)
	}
	return all
}

// TestOpenedElse brings films in that browsers don't play, or that hide frames: they
// wait until they were read, with their clock untold.
func TestOpenedElse(t *testing.T) {
	dir := t.TempDir()
	source := filepath.Join(dir, "source.mov")
	if err := os.WriteFile(source, filmBytes(t), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, args := range map[string][]string{
		"hevc.mp4":    {"-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=error"},
		"deep.mp4":    {"-c:v", "libx264", "-pix_fmt", "yuv422p"},
		"film.mkv":    {"-c", "copy"},
		"trimmed.mp4": {"-ss", "0.5", "-c", "copy"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), name)
			args := append([]string{"-loglevel", "error"}, args...)
			if name == "trimmed.mp4" { // what is cut off goes before what is read
				args = append(args[:2], append(args[2:4], append([]string{"-i", source}, args[4:]...)...)...)
			} else {
				args = append(args[:2], append([]string{"-i", source}, args[2:]...)...)
			}
			if out, err := exec.Command("ffmpeg", append(args, path)...).CombinedOutput(); err != nil {
				t.Fatalf("%v: %s", err, out)
			}
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			p := newPlace(t, Options{})
			p.receive(name, data)
			if err := p.opens(); err != nil {
				t.Fatal(err)
			}
			f := p.films()[0]
			if f.State != bullpen.FilmReading || f.Steppable() || p.Steppable(f) || f.Clock.Frames() == 0 || f.Width != 192 {
				t.Errorf("opened: %+v", f)
			}
			if _, err := p.Stretch(f, 30); bullpen.CodeOf(err) != bullpen.NotFound {
				t.Errorf("a part of it is there before it was read: %v", err)
			}
			if _, _, err := p.Opened(p.t.Context(), f); bullpen.CodeOf(err) != bullpen.Unavailable {
				t.Errorf("%v", err)
			}
			if err := p.ReadFilm(t.Context(), p.take(), func(float64) {}); err != nil {
				t.Fatal(err)
			}
			before := f.Clock.Frames()
			if f = p.films()[0]; f.State != bullpen.FilmReady || f.Clock.Frames() != before {
				t.Errorf("read: %+v", f)
			}
			// Who looks at it has a moment to change over.
			if stretch, err := p.Stretch(f, before); err != nil {
				t.Error(err)
			} else if n, err := io.Copy(io.Discard, stretch.Reader()); err != nil || n != stretch.Size() {
				t.Errorf("%d bytes of %d: %v", n, stretch.Size(), err)
			}
		})
	}
}

// TestLongFilmsStepBack has films of which reading takes long go in a line of their own.
func TestLongFilmsStepBack(t *testing.T) {
	for name, c := range map[string]struct {
		width, height, frames int
		long                  bool
	}{
		"homework, 40 s of 1080p":         {1920, 1080, 1200, false},
		"a lesson, ten minutes of 1080p":  {1920, 1080, 18_000, false},
		"ten minutes of 4K":               {3840, 2160, 18_000, true},
		"two hours of 432,000 tiny ones":  {64, 36, 432_000, true},
		"half an hour of 1080p at 60":     {1920, 1080, 108_000, true},
		"a rep of 240 a second, 2 s long": {1920, 1080, 480, false},
	} {
		f := film.Facts{Width: c.width, Height: c.height}
		f.Clock.Ticks = make([]int64, c.frames)
		if f.Long() != c.long {
			t.Errorf("%s: long is %v", name, f.Long())
		}
	}
}
