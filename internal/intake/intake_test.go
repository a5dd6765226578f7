package intake

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"syscall"
	"testing"
	"testing/iotest"
	"time"

	"github.com/google/go-cmp/cmp"
	"go.uber.org/goleak"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// sample is a small film with sound, made once.
var sample = sync.OnceValues(func() ([]byte, error) {
	dir, err := os.MkdirTemp("", "intake")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "film.mov")
	out, err := exec.Command("ffmpeg", "-hide_banner", "-loglevel", "error", "-f", "lavfi", "-i", "testsrc2=s=192x108:r=30:d=1",
		"-f", "lavfi", "-i", "sine=d=1", "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-c:a", "aac",
		"-metadata", "creation_time=2026-04-11T17:12:13Z", path).CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("ffmpeg: %w: %s", err, out)
	}
	return os.ReadFile(path)
})

func filmBytes(t *testing.T) []byte {
	t.Helper()
	data, err := sample()
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// place is a data folder with one bullpen.
type place struct {
	*Intake
	t   *testing.T
	dir string
	pen bullpen.Bullpen
}

func newPlace(t *testing.T, o Options) *place {
	t.Helper()
	p := &place{t: t, dir: t.TempDir()}
	p.open(o)
	level, _ := bullpen.LevelOf("14U")
	_, pen, err := p.store.AddBullpenFor(t.Context(), bullpen.NewPitcher("Kit", level), bullpen.Bullpen{Day: "2026-04-30"}, false)
	if err != nil {
		t.Fatal(err)
	}
	p.pen = pen
	return p
}

// open opens the data folder, as a program that starts does.
func (p *place) open(o Options) {
	p.t.Helper()
	s, err := store.OpenScratch(p.t.Context(), p.dir)
	if err != nil {
		p.t.Fatal(err)
	}
	p.t.Cleanup(func() { s.Close() })
	blobs, err := blob.Open(filepath.Join(p.dir, blob.Folder))
	if err != nil {
		p.t.Fatal(err)
	}
	p.t.Cleanup(func() { blobs.Close() })
	if o.Reserve == 0 {
		o.Reserve = 1
	}
	p.Intake = New(s, blobs, o)
}

// receive takes a film in that has to arrive.
func (p *place) receive(name string, data []byte) store.Film {
	p.t.Helper()
	f, there, err := p.Receive(p.t.Context(), p.pen.ID, name, int64(len(data)), bytes.NewReader(data))
	if err != nil || there {
		p.t.Fatalf("Receive: there %v, %v", there, err)
	}
	return f
}

// take takes the next job, of which there must be one.
func (p *place) take() store.Job {
	p.t.Helper()
	j, ok, err := p.store.ClaimJob(p.t.Context(), []string{OpenKind, Kind, LongKind}, 1e12)
	if err != nil || !ok {
		p.t.Fatalf("no job: %v", err)
	}
	return j
}

// opens does the next job, which opens a film.
func (p *place) opens() error {
	p.t.Helper()
	j := p.take()
	err := p.OpenFilm(p.t.Context(), j, func(float64) {})
	if e := p.store.EndJob(p.t.Context(), j.ID, j.Claim, store.JobDone, "", 0); e != nil {
		p.t.Fatal(e)
	}
	return err
}

// read opens the next film and reads it.
func (p *place) read() error {
	p.t.Helper()
	if err := p.opens(); err != nil || p.films()[0].State == bullpen.FilmRefused {
		return err
	}
	return p.ReadFilm(p.t.Context(), p.take(), func(float64) {})
}

// whole checks that the files on the disk are those that rows name, to the byte, and
// no others.
func (p *place) whole() (files int) {
	p.t.Helper()
	disk, err := p.blobs.List(p.t.Context(), "")
	if err != nil {
		p.t.Fatal(err)
	}
	named, err := p.store.NamedFiles(p.t.Context())
	if err != nil {
		p.t.Fatal(err)
	}
	got, want := map[string]int64{}, map[string]int64{}
	for _, f := range disk {
		got[f.Key] = f.Size
	}
	for _, f := range named {
		want[f.Key] = f.Bytes
		if sum, err := p.blobs.Sum(p.t.Context(), f.Key); err != nil || sum != f.Sum && strings.HasPrefix(f.Key, "films/") {
			p.t.Errorf("%s has SHA-256 %s, its row %q (%v)", f.Key, sum, f.Sum, err)
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		p.t.Errorf("files and rows disagree (-rows +files):\n%s", diff)
	}
	loose, err := p.store.LooseFiles(p.t.Context())
	if err != nil || len(loose) > 0 {
		p.t.Errorf("loose: %v, %v", loose, err)
	}
	half, err := os.ReadDir(filepath.Join(p.dir, blob.Folder, "arriving"))
	if err != nil || len(half) > 0 {
		p.t.Errorf("half made: %v, %v", half, err)
	}
	return len(disk)
}

func (p *place) films() []store.Film {
	p.t.Helper()
	films, err := p.store.Films(p.t.Context(), p.pen.ID)
	if err != nil {
		p.t.Fatal(err)
	}
	return films
}

func TestReceiveAndRead(t *testing.T) {
	p := newPlace(t, Options{})
	data := filmBytes(t)
	f := p.receive(`C:\fakepath\IMG_1.mov`, data)
	sum := sha256.Sum256(data)
	if f.Name != "IMG_1.mov" || f.State != bullpen.FilmReading || f.SHA256 != hex.EncodeToString(sum[:]) || f.Bytes != int64(len(data)) {
		t.Errorf("received %+v", f.Film)
	}
	if n := p.whole(); n != 1 {
		t.Errorf("%d files", n)
	}
	if err := p.read(); err != nil {
		t.Fatal(err)
	}
	f = p.films()[0]
	if f.State != bullpen.FilmReady || f.Width != 192 || f.Height != 108 || f.Clock.Frames() != 30 || !f.HasSound || f.Recorded == 0 {
		t.Errorf("read %+v", f.Film)
	}
	for name, key := range map[string]string{"working": f.Made.Working, "strip": f.Made.Strip, "motion": f.Made.Motion, "sound": f.Made.Sound, "cut": f.Made.Cut.Key} {
		if info, err := p.blobs.Stat(t.Context(), key); err != nil || info.Size == 0 {
			t.Errorf("%s: %+v, %v", name, info, err)
		}
	}
	if n := p.whole(); n != 5 {
		t.Errorf("%d files", n)
	}
	if pen, _, err := p.store.Bullpen(t.Context(), p.pen.ID); err != nil || pen.Day != "2026-04-11" {
		t.Errorf("the bullpen's day is %s, %v", pen.Day, err)
	}

	again, there, err := p.Receive(t.Context(), p.pen.ID, "copy.mov", -1, bytes.NewReader(data))
	if err != nil || !there || again.ID != f.ID || again.State != bullpen.FilmReady {
		t.Errorf("the same film: %+v, there %v, %v", again.Film, there, err)
	}
	if n := p.whole(); n != 5 {
		t.Errorf("%d files after the same film", n)
	}

	would, err := p.Would(t.Context(), "film", f.ID)
	if err != nil || would.Films != 1 || would.Bytes <= int64(len(data)) {
		t.Errorf("would take %+v, %v", would, err)
	}
	did, err := p.RemoveFilm(t.Context(), f.ID, f.Version)
	if err != nil || !reflect.DeepEqual(did, would) {
		t.Errorf("took %+v, %v, not %+v", did, err, would)
	}
	if n := p.whole(); n != 0 {
		t.Errorf("%d files after the film went", n)
	}
}

func TestRefused(t *testing.T) {
	p := newPlace(t, Options{})
	data := bytes.Repeat([]byte("no film at all "), 1000)
	p.receive("holiday.mov", data)
	if err := p.read(); err != nil {
		t.Fatal(err)
	}
	f := p.films()[0]
	if f.State != bullpen.FilmRefused || !strings.Contains(f.Refusal, "“holiday.mov”") {
		t.Errorf("%+v", f.Film)
	}
	if n := p.whole(); n != 0 {
		t.Errorf("%d files", n)
	}
	// Sent once more it is tried once more.
	p.receive("holiday.mov", data)
	if n := len(p.films()); n != 1 || p.films()[0].State != bullpen.FilmReading {
		t.Errorf("%d films: %+v", n, p.films()[0].Film)
	}
}

// TestOriginalStays reads a sound film on a machine that can't, then on one that can.
func TestOriginalStays(t *testing.T) {
	p := newPlace(t, Options{})
	f := p.receive("a.mov", filmBytes(t))
	dir, path := t.TempDir(), os.Getenv("PATH")
	probe, err := exec.LookPath("ffprobe")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(probe, filepath.Join(dir, "ffprobe")); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "ffmpeg"), []byte("#!/bin/sh\necho \"[AVFilterGraph @ 0x1] No such filter: 'select'\" >&2\nexit 1\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir)
	if err := p.opens(); err != nil {
		t.Fatal(err)
	}
	j := p.take()
	err = p.ReadFilm(t.Context(), j, func(float64) {})
	if bullpen.CodeOf(err) != bullpen.Unavailable || !strings.Contains(bullpen.MessageOf(err), "“a.mov” could not be read: this ffmpeg was built without the filter select") {
		t.Errorf("%v", err)
	}
	if n := p.whole(); n != 1 || p.films()[0].State != bullpen.FilmReading {
		t.Fatalf("%d files, the film is %s", n, p.films()[0].State)
	}
	t.Setenv("PATH", path)
	if err := p.ReadFilm(t.Context(), j, func(float64) {}); err != nil || p.films()[0].State != bullpen.FilmReady {
		t.Errorf("tried again: %v, the film is %s", err, p.films()[0].State)
	}
	// What the disk does not give is not refused.
	f = p.films()[0]
	if err := os.Truncate(filepath.Join(p.dir, blob.Folder, f.Made.Original), 100); err != nil {
		t.Fatal(err)
	}
	if err := p.readable(t.Context(), f); bullpen.CodeOf(err) != bullpen.Unavailable {
		t.Errorf("a file cut short: %v", err)
	}
}

func TestNothingStaysBehind(t *testing.T) {
	data := bytes.Repeat([]byte("x"), 300_000)
	full := &os.PathError{Op: "write", Err: syscall.ENOSPC}
	for name, c := range map[string]struct {
		size    int64
		from    io.Reader
		options Options
		free    int64
		want    bullpen.Code
		says    string
	}{
		"cut off":             {400_000, bytes.NewReader(data), Options{}, 1 << 40, bullpen.Invalid, "cut off: 300.0 kB of 400.0 kB arrived"},
		"longer than said":    {10, bytes.NewReader(data), Options{}, 1 << 40, bullpen.Invalid, "cut off"},
		"empty":               {-1, strings.NewReader(""), Options{}, 1 << 40, bullpen.Invalid, "empty"},
		"said to be large":    {1 << 30, bytes.NewReader(data), Options{MaxBytes: 1 << 20}, 1 << 40, bullpen.Invalid, "larger than 1.0 MB"},
		"large, unsaid":       {-1, bytes.NewReader(data), Options{MaxBytes: 100_000}, 1 << 40, bullpen.Invalid, "larger than 100.0 kB"},
		"no room for it":      {300_000, bytes.NewReader(data), Options{Reserve: 50_000}, 499_999, bullpen.Unavailable, "too little room"},
		"connection lost":     {300_000, io.MultiReader(bytes.NewReader(data[:99]), iotest.ErrReader(io.ErrUnexpectedEOF)), Options{}, 1 << 40, bullpen.Invalid, "connection was lost"},
		"disk full meanwhile": {-1, io.MultiReader(bytes.NewReader(data[:99]), iotest.ErrReader(full)), Options{}, 1 << 40, bullpen.Unavailable, "disk is full"},
	} {
		t.Run(name, func(t *testing.T) {
			p := newPlace(t, c.options)
			p.free = func() (int64, error) { return c.free, nil }
			_, _, err := p.Receive(t.Context(), p.pen.ID, "a.mov", c.size, c.from)
			if bullpen.CodeOf(err) != c.want || !strings.Contains(bullpen.MessageOf(err), c.says) {
				t.Errorf("%v, want %q: %q", err, c.want, c.says)
			}
			if n := p.whole(); n != 0 || len(p.films()) != 0 {
				t.Errorf("%d files and %d films stayed behind", n, len(p.films()))
			}
		})
	}
	t.Run("caller gone", func(t *testing.T) {
		p := newPlace(t, Options{})
		ctx, cancel := context.WithCancel(t.Context())
		from := io.MultiReader(bytes.NewReader(data), readFunc(func([]byte) (int, error) { cancel(); return 0, nil }))
		if _, _, err := p.Receive(ctx, p.pen.ID, "a.mov", -1, from); !errors.Is(err, context.Canceled) {
			t.Errorf("%v", err)
		}
		if n := p.whole(); n != 0 {
			t.Errorf("%d files stayed behind", n)
		}
	})
	t.Run("no bullpen", func(t *testing.T) {
		p := newPlace(t, Options{})
		_, _, err := p.Receive(t.Context(), "nothing", "a.mov", -1, bytes.NewReader(data))
		if bullpen.CodeOf(err) != bullpen.NotFound {
			t.Errorf("%v", err)
		}
		p.whole()
	})
}

type readFunc func([]byte) (int, error)

func (f readFunc) Read(p []byte) (int, error) { return f(p) }

// TestRoomIsLookedAtAgain fills the disk while a film of unknown length arrives.
func TestRoomIsLookedAtAgain(t *testing.T) {
	p := newPlace(t, Options{})
	free := int64(1 << 30)
	p.free = func() (int64, error) { free -= 1 << 29; return free, nil }
	endless := readFunc(func(b []byte) (int, error) { return len(b), nil })
	_, _, err := p.Receive(t.Context(), p.pen.ID, "a.mov", -1, endless)
	if bullpen.CodeOf(err) != bullpen.Unavailable {
		t.Errorf("%v", err)
	}
	p.whole()
}

// TestStartAfterACrash leaves what a program leaves that is killed between any two
// steps, and starts anew.
func TestStartAfterACrash(t *testing.T) {
	p := newPlace(t, Options{})
	data := filmBytes(t)
	kept := p.receive("a.mov", data)
	desk, err := p.blobs.TempDir()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(desk, "original"), data[:100], 0o600); err != nil {
		t.Fatal(err)
	}
	// Adopted and not yet in a row; announced and not yet adopted.
	if err := p.store.Expect(t.Context(), "films/x/original", "films/y/original"); err != nil {
		t.Fatal(err)
	}
	if _, err := p.blobs.Put(t.Context(), "films/x/original", bytes.NewReader(data)); err != nil {
		t.Fatal(err)
	}
	// Rows removed, files not yet.
	if _, err := p.store.RemoveFilm(t.Context(), kept.ID, 0); err != nil {
		t.Fatal(err)
	}
	stays := p.receive("a.mov", data)
	p.open(Options{})
	if err := p.Sweep(t.Context()); err != nil {
		t.Fatal(err)
	}
	if n := p.whole(); n != 1 {
		t.Errorf("%d files", n)
	}
	if f, err := p.blobs.Stat(t.Context(), stays.Made.Original); err != nil || f.Size != int64(len(data)) {
		t.Errorf("the film that stays: %+v, %v", f, err)
	}
	if err := p.read(); err != nil {
		t.Fatal(err)
	}
	p.whole()
}

// TestPurge lets a deleted rep, and the clip of it, go after its time and not before.
func TestPurge(t *testing.T) {
	p := newPlace(t, Options{})
	p.receive("a.mov", filmBytes(t))
	if err := p.read(); err != nil {
		t.Fatal(err)
	}
	ctx, f := t.Context(), p.films()[0]
	r, _, err := p.store.AddRep(ctx, bullpen.Rep{BullpenID: p.pen.ID, FilmID: f.ID, Pitch: bullpen.Fastball, Drive: -1, Plant: -1, Top: -1, Release: 10})
	if err != nil {
		t.Fatal(err)
	}
	c, err := p.store.QueueClip(ctx, store.Clip{BullpenID: p.pen.ID, Kind: "single", RepID: r.ID, Options: "{}"}, store.NewJob{Kind: "render clip", Payload: "{}"})
	if err != nil {
		t.Fatal(err)
	}
	key := "clips/" + c.ID + "/1/clip.mp4"
	if err := p.store.Expect(ctx, key); err != nil {
		t.Fatal(err)
	}
	info, err := p.blobs.Put(ctx, key, strings.NewReader("pixels"))
	if err != nil {
		t.Fatal(err)
	}
	c.Made = "{}"
	if _, err := p.store.FinishClip(ctx, c, []store.File{{Key: key, Bytes: info.Size}}); err != nil {
		t.Fatal(err)
	}
	before := p.whole()
	if _, err := p.store.RemoveRep(ctx, r.ID, 0); err != nil {
		t.Fatal(err)
	}
	if err := p.Sweep(ctx); err != nil {
		t.Fatal(err)
	}
	if n := p.whole(); n != before {
		t.Errorf("%d of %d files on the first day", n, before)
	}
	p.now = func() time.Time { return time.Now().Add(Restorable + time.Minute) }
	if err := p.Sweep(ctx); err != nil {
		t.Fatal(err)
	}
	if n := p.whole(); n != before-1 {
		t.Errorf("%d of %d files afterwards", n, before)
	}
	if _, _, err := p.store.RestoreRep(ctx, r.ID); bullpen.CodeOf(err) != bullpen.NotFound {
		t.Errorf("brought back: %v", err)
	}
}

// Whoever deletes does not wait until the whole database is rewritten: that is due, and
// done by who tends the store.
func TestADeletionRewritesNothing(t *testing.T) {
	p := newPlace(t, Options{})
	if _, err := p.RemovePitcher(t.Context(), p.pen.PitcherID, 0, func(Removed) error { return nil }); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(p.dir, "cleaning-due")); err != nil {
		t.Errorf("nothing is left to be done: %v", err)
	}
}

// TestRemovedWhileRead removes a film while it is being read.
func TestRemovedWhileRead(t *testing.T) {
	p := newPlace(t, Options{})
	f := p.receive("a.mov", filmBytes(t))
	if err := p.opens(); err != nil {
		t.Fatal(err)
	}
	j := p.take()
	removed := false
	err := p.ReadFilm(t.Context(), j, func(float64) {
		if !removed {
			removed = true
			if _, err := p.RemoveBullpen(t.Context(), p.pen.ID, 0, func(Removed) error { return nil }); err != nil {
				t.Error(err)
			}
		}
	})
	if !removed {
		t.Fatal("the reading never told its progress")
	}
	if err != nil && bullpen.CodeOf(err) != bullpen.NotFound {
		t.Errorf("%v", err)
	}
	if n := p.whole(); n != 0 {
		t.Errorf("%d files of %s stayed behind", n, f.ID)
	}
	if err := p.ReadFilm(t.Context(), j, func(float64) {}); err != nil {
		t.Errorf("a job for what is gone: %v", err)
	}
}

func TestManyAtOnce(t *testing.T) {
	p := newPlace(t, Options{})
	data := filmBytes(t)
	var all sync.WaitGroup
	for i := range 12 {
		all.Go(func() { // every film twice
			film := append(bytes.Clone(data), byte(i/2))
			if _, _, err := p.Receive(t.Context(), p.pen.ID, fmt.Sprintf("IMG_%d.mov", i), int64(len(film)), bytes.NewReader(film)); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if n := p.whole(); n != 6 || len(p.films()) != 6 {
		t.Errorf("%d files and %d films of 6", n, len(p.films()))
	}
}

func TestCleanName(t *testing.T) {
	long := strings.Repeat("a", 200) + ".mov"
	for name, want := range map[string]string{
		"IMG_1.mov":              "IMG_1.mov",
		"../../etc/passwd":       "passwd",
		`C:\fakepath\a b.MOV`:    "a b.MOV",
		"":                       "film",
		"..":                     "film",
		"x/":                     "film",
		"a\x00b\nc\u202egpj.mp4": "abcgpj.mp4",
		"\xff\xfeö.mov":          "ö.mov",
		long:                     strings.Repeat("a", 80) + "…" + strings.Repeat("a", 35) + ".mov",
	} {
		if got := cleanName(name); got != want {
			t.Errorf("%q became %q, want %q", name, got, want)
		}
	}
}
