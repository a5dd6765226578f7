package shelf

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/clip"
	"tenoff/internal/film"
	"tenoff/internal/judged"
	"tenoff/internal/proc"
	"tenoff/internal/store"
)

// secret is the pitcher's label: it must be in nothing that is handed out.
const secret = "Zuzanna"

// reel is a film of three seconds, made once.
var reel = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "tenoff-shelf-")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "reel.mp4")
	_, err = proc.Run(context.Background(), proc.Cmd{Name: "ffmpeg", Args: []string{"-v", "error", "-nostdin", "-y",
		"-f", "lavfi", "-i", "testsrc2=s=160x90:r=30:d=3", "-f", "lavfi", "-i", "sine=d=3", "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-c:a", "aac", path}})
	return path, err
})

func TestMain(m *testing.M) {
	code := m.Run()
	if path, err := reel(); err == nil {
		os.RemoveAll(filepath.Dir(path))
	}
	os.Exit(code)
}

// house is a data folder with one bullpen: three fastballs, a change-up, and a rep
// that is not on film.
type house struct {
	*Shelf
	t    *testing.T
	dir  string
	pen  bullpen.Bullpen
	reps []bullpen.Rep
}

// reelKey is where the film lies that clips are cut from.
const reelKey = "films/reel/original"

func newHouse(t *testing.T) *house {
	t.Helper()
	ctx := context.Background()
	path, err := reel()
	if err != nil {
		t.Fatal(err)
	}
	facts, err := film.Probe(ctx, path, "reel.mp4")
	if err != nil {
		t.Fatal(err)
	}
	h := &house{t: t, dir: t.TempDir()}
	s, err := store.OpenScratch(ctx, h.dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	b, err := blob.Open(filepath.Join(h.dir, blob.Folder))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	original, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer original.Close()
	if _, err := b.Put(ctx, reelKey, original); err != nil {
		t.Fatal(err)
	}
	h.Shelf = New(s, b, judged.New(s, nil), func(context.Context, store.Film) (string, film.Cut, error) { return reelKey, facts.Cut, nil })
	h.pen = h.bullpen("2026-04-11")
	h.reps = h.throw(h.pen, facts)
	return h
}

func (h *house) bullpen(day string) bullpen.Bullpen {
	h.t.Helper()
	_, pen, err := h.store.AddBullpenFor(context.Background(), bullpen.Pitcher{
		Label: secret, BaselinePitch: bullpen.Fastball, Policy: bullpen.MeanOf, GunTolerance: 1, Unit: bullpen.MPH, DistanceFeet: 43, ExtensionFeet: new(6.0),
	}, bullpen.Bullpen{Day: day, Title: secret + "'s evening", Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}, true)
	if err != nil {
		h.t.Fatal(err)
	}
	return pen
}

func (h *house) throw(pen bullpen.Bullpen, facts film.Facts) []bullpen.Rep {
	h.t.Helper()
	ctx := context.Background()
	f := store.Film{Film: bullpen.Film{ID: store.NewFilmID(), BullpenID: pen.ID, Name: "reel.mp4", SHA256: "of " + pen.Day, State: bullpen.FilmReading}}
	f.Made.Original = "films/" + f.ID + "/original"
	f, _, err := h.store.AddFilm(ctx, f, store.NewJob{Kind: "read film", Subject: f.ID, BullpenID: pen.ID, Payload: "{}"})
	if err != nil {
		h.t.Fatal(err)
	}
	f.Width, f.Height, f.HasSound, f.Clock = facts.Width, facts.Height, true, facts.Clock
	if _, err := h.store.FilmRead(ctx, f, nil); err != nil {
		h.t.Fatal(err)
	}
	j, ok, err := h.claim()
	if err != nil || !ok {
		h.t.Fatal(ok, err)
	}
	if err := h.store.EndJob(ctx, j.ID, j.Claim, store.JobDone, "", 0); err != nil {
		h.t.Fatal(err)
	}
	var reps []bullpen.Rep
	for i, thrown := range []struct {
		pitch   bullpen.Pitch
		mph     float64
		release int
	}{{bullpen.Fastball, 60, 15}, {bullpen.Fastball, 61, 30}, {bullpen.Fastball, 62, 45}, {bullpen.ChangeUp, 51, 60}, {bullpen.ChangeUp, 50, bullpen.Unmarked}} {
		r := bullpen.Rep{BullpenID: pen.ID, FilmID: f.ID, Drive: -1, Plant: -1, Top: -1, Release: thrown.release, Order: i + 1, Pitch: thrown.pitch,
			Reading: &bullpen.Reading{Value: thrown.mph}, Drill: "flip {drill}", Note: "for " + secret}
		if thrown.release == bullpen.Unmarked {
			r.FilmID = ""
		}
		r, _, err := h.store.AddRep(ctx, r)
		if err != nil {
			h.t.Fatal(err)
		}
		reps = append(reps, r)
	}
	return reps
}

func (h *house) claim() (store.Job, bool, error) {
	return h.store.ClaimJob(context.Background(), []string{Kind, "read film"}, time.Minute)
}

// work does all jobs that wait and says how many there were.
func (h *house) work() int {
	h.t.Helper()
	for n := 0; ; n++ {
		j, ok, err := h.claim()
		if err != nil {
			h.t.Fatal(err)
		}
		if !ok {
			return n
		}
		if j.Kind != Kind {
			h.t.Fatalf("a job of kind %q", j.Kind)
		}
		if err := h.Render(context.Background(), j, func(float64) {}); err != nil {
			h.t.Fatal(err)
		}
		if err := h.store.EndJob(context.Background(), j.ID, j.Claim, store.JobDone, "", 0); err != nil {
			h.t.Fatal(err)
		}
	}
}

func (h *house) entries() []Entry {
	h.t.Helper()
	b, err := h.judged.Of(context.Background(), h.pen.ID)
	if err != nil {
		h.t.Fatal(err)
	}
	e, err := h.Entries(context.Background(), b)
	if err != nil {
		h.t.Fatal(err)
	}
	return e
}

// files lists the clips' files.
func (h *house) files() []string {
	h.t.Helper()
	list, err := h.Shelf.files.List(h.t.Context(), "clips")
	if err != nil {
		h.t.Fatal(err)
	}
	var keys []string
	for _, f := range list {
		keys = append(keys, f.Key)
	}
	return keys
}

func (h *house) make(o Options, reps ...int) []store.Clip {
	h.t.Helper()
	var ids []string
	for _, i := range reps {
		ids = append(ids, h.reps[i].ID)
	}
	o.Window = short
	clips, _, err := h.Make(context.Background(), h.pen.ID, ids, o)
	if err != nil {
		h.t.Fatal(err)
	}
	return clips
}

func (h *house) save(i int, change func(*bullpen.Rep)) {
	h.t.Helper()
	r, err := h.store.Rep(context.Background(), h.reps[i].ID)
	if err != nil {
		h.t.Fatal(err)
	}
	change(&r)
	if _, _, err := h.store.SaveRep(context.Background(), r); err != nil {
		h.t.Fatal(err)
	}
}

// draw puts one line more than lines on the frame before a rep's release, in place
// of what is there; none for -1.
func (h *house) draw(i, lines int) {
	h.t.Helper()
	r := h.reps[i]
	d := bullpen.Drawing{RepID: r.ID, Frame: r.Release - 1}
	have, err := h.store.Drawings(context.Background(), r.ID)
	if err != nil {
		h.t.Fatal(err)
	}
	if len(have) > 0 {
		d.Version = have[0].Version
	}
	for n := range lines + 1 {
		d.Shapes = append(d.Shapes, bullpen.Shape{Kind: bullpen.LineShape, Points: []bullpen.Point{{0.5, float64(n) / 10}, {0.9, 0.5}}})
	}
	if _, err := h.store.SaveDrawing(context.Background(), d); err != nil {
		h.t.Fatal(err)
	}
}

var short = clip.Window{Before: 0.2, After: 0.2}

// A clip is rendered again only when something it shows has changed.
func TestRenderedAgainOnlyWhenItShowsSomethingNew(t *testing.T) {
	h := newHouse(t)
	first := h.make(Options{}, 3)[0]
	if e := h.entries()[0]; e.State != "queued" || e.Made || e.Stale {
		t.Errorf("before: %+v", e)
	}
	if n := h.work(); n != 1 {
		t.Fatalf("%d jobs", n)
	}
	e := h.entries()[0]
	if e.State != "ready" || !e.Made || e.Stale || e.Bytes == 0 || e.ReleaseAt != 0.2 || e.Seconds != 0.4 || e.FileName != "2026-04-11_04_change-up_51mph.mp4" {
		t.Errorf("after: %+v", e)
	}
	before := h.files()
	if len(before) != 3 {
		t.Errorf("files %v", before)
	}
	for name, change := range map[string]func(){
		"nothing": func() {},
		"a note":  func() { h.save(3, func(r *bullpen.Rep) { r.Note = "other" }) },
		"her label": func() {
			p, err := h.store.Pitcher(context.Background(), h.pen.PitcherID)
			if err != nil {
				t.Fatal(err)
			}
			p.Label = secret + "2"
			if _, err := h.store.SavePitcher(context.Background(), p); err != nil {
				t.Fatal(err)
			}
		},
		"a drawing, not asked in":   func() { h.draw(3, 0); h.draw(3, -1) },
		"another mark than release": func() { h.save(3, func(r *bullpen.Rep) { r.Plant = 50 }) },
	} {
		change()
		if h.entries()[0].Stale {
			t.Errorf("%s makes it stale", name)
		}
		if c := h.make(Options{}, 3)[0]; c.ID != first.ID || h.work() != 0 {
			t.Errorf("%s renders it again", name)
		}
	}
	for _, showing := range []struct {
		name   string
		change func()
	}{
		{"its reading", func() { h.save(3, func(r *bullpen.Rep) { r.Reading.Value = 50 }) }},
		{"another's reading", func() { h.save(0, func(r *bullpen.Rep) { r.Reading.Value = 58 }) }},
		{"its release", func() { h.save(3, func(r *bullpen.Rep) { r.Release = 61 }) }},
		{"its drill", func() { h.save(3, func(r *bullpen.Rep) { r.Drill = "" }) }},
		{"the label asked in", func() { h.make(Options{Label: true}, 3) }},
		{"a drawing, asked in", func() { h.draw(3, 0); h.make(Options{Drawings: true}, 3) }},
		{"another line on it", func() { h.draw(3, 1) }},
	} {
		name, old := showing.name, h.files()
		showing.change()
		if e := h.entries()[0]; e.State == "ready" && !e.Stale || !e.Made {
			t.Errorf("%s: %+v", name, e)
		}
		switch name {
		case "the label asked in", "a drawing, asked in":
		case "another line on it":
			h.make(Options{Drawings: true}, 3)
		default:
			h.make(Options{}, 3)
		}
		if n := h.work(); n != 1 {
			t.Errorf("%s: %d jobs", name, n)
		}
		if e := h.entries()[0]; e.State != "ready" || e.Stale || e.ID != first.ID {
			t.Errorf("%s: %+v", name, e)
		}
		now := h.files()
		if len(now) != 3 || slices.Equal(now, old) {
			t.Errorf("%s: files %v, were %v", name, now, old)
		}
	}
	// What is drawn on another rep is none of its business.
	h.draw(2, 0)
	if e := h.entries()[0]; e.Stale || !e.Drawings {
		t.Errorf("a drawing on another rep: %+v", e)
	}
	// Asked for twice before its turn: one job.
	h.save(3, func(r *bullpen.Rep) { r.Reading.Value = 49 })
	h.make(Options{}, 3)
	h.make(Options{}, 3)
	if n := h.work(); n != 1 {
		t.Errorf("%d jobs", n)
	}
	// Off the shelf, nothing is left of it.
	if err := h.Remove(context.Background(), first.ID); err != nil {
		t.Fatal(err)
	}
	if left := h.files(); len(left) != 0 {
		t.Errorf("left: %v", left)
	}
}

// All clips of a bullpen, a side by side with the fastball nearest the baseline,
// and everything in one zip that carries nobody's name.
func TestAllClipsPairAndZip(t *testing.T) {
	h := newHouse(t)
	ctx := context.Background()
	clips, left, err := h.Make(ctx, h.pen.ID, nil, Options{Window: short})
	if err != nil || len(clips) != 4 || len(left) != 0 {
		t.Fatal(len(clips), left, err)
	}
	if _, left, err := h.Make(ctx, h.pen.ID, []string{h.reps[4].ID}, Options{}); err != nil || !slices.Equal(left, []string{"Rep 5 is not on film, so there can be no clip of it."}) {
		t.Error(left, err)
	}
	pair, err := h.MakePair(ctx, h.reps[3].ID, "", Options{Window: short, Speed: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	if pair.OtherID != h.reps[1].ID { // 61 is the mean of 60, 61, 62
		t.Errorf("beside %s", pair.OtherID)
	}
	if _, err := h.MakePair(ctx, h.reps[3].ID, h.reps[3].ID, Options{}); bullpen.CodeOf(err) != bullpen.Invalid {
		t.Errorf("with itself: %v", err)
	}
	if n := h.work(); n != 5 {
		t.Fatalf("%d jobs", n)
	}
	got := h.zipped()
	for name, text := range got {
		if name != "reps.csv" && (strings.Contains(name, secret) || bytes.Contains(text, []byte(secret))) {
			t.Errorf("her name is in %s", name)
		}
	}
	for _, name := range []string{
		"2026-04-11_01_fastball_60mph.mp4", "2026-04-11_04_change-up_51mph.mp4", "2026-04-11_04_change-up_51mph.srt",
		"2026-04-11_04_change-up_51mph_beside_02_fastball_61mph_1-2-speed.mp4", "reps.csv",
	} {
		if len(got[name]) == 0 {
			t.Errorf("no %s", name)
		}
	}
	if len(got) != 11 {
		t.Errorf("%d files", len(got))
	}
	if srt := string(got["2026-04-11_04_change-up_51mph.srt"]); !strings.Contains(srt, "Change-up 51 mph · 10 under\n● in the band") || !strings.Contains(srt, "00:00:00,200 --> 00:00:00,400") {
		t.Error(srt)
	}
	rows, err := csv.NewReader(bytes.NewReader(got["reps.csv"])).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := slices.Index(rows[0], "clip")
	if len(rows) != 6 || rows[4][at] != "2026-04-11_04_change-up_51mph.mp4" || rows[5][at] != "" {
		t.Errorf("%v", rows)
	}
}

// Reps of two bullpens and two films lie side by side too.
func TestPairAcrossBullpens(t *testing.T) {
	h := newHouse(t)
	ctx := context.Background()
	path, err := reel()
	if err != nil {
		t.Fatal(err)
	}
	facts, err := film.Probe(ctx, path, "reel.mp4")
	if err != nil {
		t.Fatal(err)
	}
	other := h.throw(h.bullpen("2026-03-01"), facts)
	c, err := h.MakePair(ctx, h.reps[3].ID, other[0].ID, Options{Window: short})
	if err != nil {
		t.Fatal(err)
	}
	h.work()
	e, err := h.Entry(ctx, c.ID)
	if err != nil || e.State != "ready" || e.Stale || e.FileName != "2026-04-11_04_change-up_51mph_beside_2026-03-01_01_fastball_60mph.mp4" {
		t.Errorf("%+v %v", e, err)
	}
	r, err := h.store.Rep(ctx, other[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	r.Reading.Value = 59
	if _, _, err := h.store.SaveRep(ctx, r); err != nil {
		t.Fatal(err)
	}
	if e := h.entries()[0]; !e.Stale {
		t.Errorf("%+v", e)
	}
}

// A cancelled rendering leaves the clip as it was, and no file.
func TestCancelledRendering(t *testing.T) {
	h := newHouse(t)
	h.make(Options{}, 3)
	j, _, err := h.claim()
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	if err := h.Render(ctx, j, func(float64) { cancel() }); !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	if err := h.store.EndJob(context.Background(), j.ID, j.Claim, store.JobCancelled, "", 0); err != nil {
		t.Fatal(err)
	}
	if e := h.entries()[0]; e.State != "cancelled" || e.Made {
		t.Errorf("%+v", e)
	}
	if left := h.files(); len(left) != 0 {
		t.Errorf("left: %v", left)
	}
	err = filepath.WalkDir(filepath.Join(h.dir, blob.Folder), func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && path != filepath.Join(h.dir, blob.Folder, reelKey) {
			t.Errorf("left: %s", path)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
	// Asked for again, it is made.
	h.make(Options{}, 3)
	h.work()
	if e := h.entries()[0]; e.State != "ready" {
		t.Errorf("%+v", e)
	}
}

// A clip that is taken off the shelf while it is rendered stays off it.
func TestRemovedWhileRendering(t *testing.T) {
	h := newHouse(t)
	c := h.make(Options{}, 3)[0]
	j, _, err := h.claim()
	if err != nil {
		t.Fatal(err)
	}
	var once sync.Once
	err = h.Render(context.Background(), j, func(float64) {
		once.Do(func() {
			if err := h.Remove(context.Background(), c.ID); err != nil {
				t.Error(err)
			}
		})
	})
	if err != nil {
		t.Error(err)
	}
	if left := h.files(); len(left) != 0 {
		t.Errorf("left: %v", left)
	}
}

// A rendering that fails says why, and keeps what was there.
func TestFailedRendering(t *testing.T) {
	h := newHouse(t)
	h.make(Options{}, 3)
	h.work()
	h.save(3, func(r *bullpen.Rep) { r.Reading.Value = 48 })
	h.make(Options{}, 3)
	h.cutting = func(context.Context, store.Film) (string, film.Cut, error) {
		return "films/gone/original", film.Cut{Container: "mov", Audio: -1}, nil
	}
	j, _, err := h.claim()
	if err != nil {
		t.Fatal(err)
	}
	err = h.Render(context.Background(), j, func(float64) {})
	if bullpen.CodeOf(err) != bullpen.Internal {
		t.Fatal(err)
	}
	if err := h.store.EndJob(context.Background(), j.ID, j.Claim, store.JobFailed, bullpen.MessageOf(err), 0); err != nil {
		t.Fatal(err)
	}
	e := h.entries()[0]
	if e.State != "failed" || !e.Made || !e.Stale || e.Problem == "" || len(h.files()) != 3 {
		t.Errorf("%+v %v", e, h.files())
	}
	f, c, err := h.SRT(context.Background(), e.ID)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if b, err := io.ReadAll(f); err != nil || !bytes.Contains(b, []byte("51 mph")) || c.Bytes == 0 {
		t.Errorf("%s %v", b, err)
	}
}

// zipped is what lies in the bullpen's zip, by name.
func (h *house) zipped() map[string][]byte {
	h.t.Helper()
	var b bytes.Buffer
	if err := h.Zip(h.t.Context(), h.pen.ID, &b); err != nil {
		h.t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		h.t.Fatal(err)
	}
	got := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			h.t.Fatal(err)
		}
		if got[f.Name], err = io.ReadAll(r); err != nil {
			h.t.Fatal(err)
		}
	}
	return got
}
