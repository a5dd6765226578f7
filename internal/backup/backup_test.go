package backup

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"go.uber.org/goleak"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// data is a data folder at work.
type data struct {
	t     *testing.T
	dir   string
	store *store.Store
	blobs *blob.Store
	pen   bullpen.Bullpen
	films map[string]store.File // by film ID
}

func openData(t *testing.T, dir string) *data {
	t.Helper()
	s, err := store.OpenScratch(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	blobs, err := blob.Open(filepath.Join(dir, blob.Folder))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { blobs.Close() })
	return &data{t: t, dir: dir, store: s, blobs: blobs, films: map[string]store.File{}}
}

func newData(t *testing.T, films int) *data {
	t.Helper()
	d := openData(t, t.TempDir())
	level, _ := bullpen.LevelOf("14U")
	_, pen, err := d.store.AddBullpenFor(t.Context(), bullpen.NewPitcher("Kit", level), bullpen.Bullpen{Day: "2026-04-11"}, true)
	if err != nil {
		t.Fatal(err)
	}
	d.pen = pen
	for i := range films {
		d.add(t.Context(), strings.Repeat(fmt.Sprintf("film %d ", i), 1000))
	}
	return d
}

// add stores a film and its file.
func (d *data) add(ctx context.Context, content string) store.Film {
	d.t.Helper()
	id := store.NewFilmID()
	key := "films/" + id + "/original"
	sum := sha256.Sum256([]byte(content))
	if err := d.store.Expect(ctx, key); err != nil {
		d.t.Fatal(err)
	}
	if _, err := d.blobs.Put(ctx, key, strings.NewReader(content)); err != nil {
		d.t.Fatal(err)
	}
	f, _, err := d.store.AddFilm(ctx, store.Film{
		Film: bullpen.Film{ID: id, BullpenID: d.pen.ID, Name: "a.mov", SHA256: hex.EncodeToString(sum[:]), Bytes: int64(len(content)), State: bullpen.FilmReading},
		Made: store.FilmFiles{Original: key},
	}, store.NewJob{Kind: "read film"})
	if err != nil {
		d.t.Fatal(err)
	}
	d.films[id] = store.File{Key: key, Bytes: f.Bytes, Sum: f.SHA256}
	return f
}

// remove removes a film and its file, as intake does.
func (d *data) remove(ctx context.Context, id string) {
	d.t.Helper()
	r, err := d.store.RemoveFilm(ctx, id, 0)
	if err != nil {
		d.t.Fatal(err)
	}
	for _, f := range r.Files {
		if err := d.blobs.Delete(ctx, f.Key); err != nil {
			d.t.Fatal(err)
		}
		if err := d.store.Forget(ctx, f.Key); err != nil {
			d.t.Fatal(err)
		}
	}
	delete(d.films, id)
}

// whole checks that a data folder has every file its rows name, byte by byte, and
// no other.
func whole(t *testing.T, dir string) (films int) {
	t.Helper()
	d := openData(t, dir)
	o, err := FindOrphans(t.Context(), d.store, d.blobs)
	if err != nil || len(o.Files) > 0 || len(o.Rows) > 0 {
		t.Errorf("orphans: %+v, %v", o, err)
	}
	named, err := d.store.NamedFiles(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range named {
		file, err := d.blobs.Open(t.Context(), f.Key)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if _, err := b.ReadFrom(file); err != nil {
			t.Fatal(err)
		}
		file.Close()
		if sum := sha256.Sum256(b.Bytes()); hex.EncodeToString(sum[:]) != f.Sum {
			t.Errorf("%s has another SHA-256", f.Key)
		}
	}
	return len(named)
}

func entries(t *testing.T, dir string) (names []string) {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	for _, e := range list {
		names = append(names, e.Name())
	}
	return names
}

func wantCode(t *testing.T, err error, want bullpen.Code) {
	t.Helper()
	if bullpen.CodeOf(err) != want {
		t.Errorf("error %v: code %q, want %q", err, bullpen.CodeOf(err), want)
	}
}

func TestThereAndBack(t *testing.T) {
	d := newData(t, 5)
	if err := d.store.Expect(t.Context(), "films/arriving-now/original"); err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(t.TempDir(), "monday")
	made, err := Make(t.Context(), d.store, d.blobs, copied)
	if err != nil || made.Files != 5 || made.Bytes != 5*7000 {
		t.Fatalf("%+v, %v", made, err)
	}
	if got := fmt.Sprint(entries(t, copied)); got != "[files tenoff.db]" {
		t.Errorf("a backup of %s", got)
	}

	back := t.TempDir()
	if err := os.WriteFile(filepath.Join(back, "in-use"), nil, 0o600); err != nil { // a lock is no data
		t.Fatal(err)
	}
	restored, err := Restore(t.Context(), copied, back)
	if err != nil || restored != made {
		t.Fatalf("%+v, %v", restored, err)
	}
	if n := whole(t, back); n != 5 {
		t.Errorf("%d films", n)
	}
	_, err = Restore(t.Context(), copied, back)
	wantCode(t, err, bullpen.Conflict)
	if n := whole(t, back); n != 5 {
		t.Errorf("a refused restore left %d films", n)
	}
	empty, err := Make(t.Context(), newData(t, 0).store, d.blobs, filepath.Join(t.TempDir(), "x"))
	if err != nil || empty.Files != 0 {
		t.Errorf("a backup of nothing: %+v, %v", empty, err)
	}
}

// A backup that is made in the folder of an earlier one copies only what is not there whole,
// and lets go of what is no longer named; until it is done, and where it fails, the earlier one
// is as it was. Nobody's data, nor a backup of other data, is taken for an earlier one.
func TestBroughtUpToDate(t *testing.T) {
	d := newData(t, 6)
	ctx := t.Context()
	copied := filepath.Join(t.TempDir(), "week")
	make := func(what string, files, there int) {
		t.Helper()
		r, err := Make(ctx, d.store, d.blobs, copied)
		if err != nil || r.Files != files || r.There != there {
			t.Fatalf("%s: %+v, %v; want %d files, %d there", what, r, err, files, there)
		}
		if got := fmt.Sprint(entries(t, copied)); got != "[files tenoff.db]" {
			t.Errorf("%s: a backup of %s", what, got)
		}
		back := t.TempDir()
		if _, err := Restore(ctx, copied, back); err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		if n := whole(t, back); n != files {
			t.Errorf("%s: %d films are back", what, n)
		}
		kept, err := blob.Read(filepath.Join(copied, blob.Folder))
		if err != nil {
			t.Fatal(err)
		}
		defer kept.Close()
		if all, err := kept.List(ctx, ""); err != nil || len(all) != files {
			t.Errorf("%s: files %v, %v", what, all, err)
		}
	}
	anyOf := func() (id, path string) {
		for id, f := range d.films {
			return id, filepath.Join(copied, blob.Folder, f.Key)
		}
		return "", ""
	}
	make("the first", 6, 0)
	make("nothing new", 6, 6)
	gone, _ := anyOf()
	d.remove(ctx, gone)
	d.add(ctx, strings.Repeat("a new one", 1000))
	d.add(ctx, strings.Repeat("and another", 1000))
	make("one gone and two new", 7, 5)

	_, flipped := anyOf()
	data, err := os.ReadFile(flipped)
	if err != nil {
		t.Fatal(err)
	}
	data[3000] ^= 4
	if err := os.WriteFile(flipped, data, 0o600); err != nil {
		t.Fatal(err)
	}
	make("one spoilt", 7, 6)
	_, half := anyOf()
	if err := os.Truncate(half, 3000); err != nil {
		t.Fatal(err)
	}
	make("half a copy", 7, 6)
	if err := os.Rename(filepath.Join(copied, store.Database), filepath.Join(copied, part)); err != nil {
		t.Fatal(err)
	}
	make("one that broke off", 7, 7)

	late := d.add(ctx, strings.Repeat("damaged here", 1000))
	removed, _ := anyOf()
	for removed == late.ID {
		removed, _ = anyOf()
	}
	d.remove(ctx, removed)
	if err := os.WriteFile(filepath.Join(d.dir, blob.Folder, d.films[late.ID].Key), bytes.Repeat([]byte("x"), 12000), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err = Make(ctx, d.store, d.blobs, copied)
	if bullpen.CodeOf(err) != bullpen.Unavailable || !strings.Contains(bullpen.MessageOf(err), "is damaged") {
		t.Errorf("a damaged film: %v", err)
	}
	back := t.TempDir()
	if _, err := Restore(ctx, copied, back); err != nil {
		t.Fatalf("the earlier one is not as it was: %v", err)
	}
	if n := whole(t, back); n != 7 {
		t.Errorf("of the earlier one %d films are back", n)
	}

	other := newData(t, 1)
	for what, dir := range map[string]func() string{
		"of other data":    func() string { return copied },
		"a data folder":    func() string { return d.dir },
		"brought back":     func() string { return back },
		"somebody's files": func() string { return filepath.Join(copied, blob.Folder) },
	} {
		to := dir()
		if what == "brought back" { // and served
			if err := os.WriteFile(filepath.Join(to, "in-use"), nil, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		before := entries(t, to)
		from := d
		if what == "of other data" {
			from = other
		}
		_, err := Make(ctx, from.store, from.blobs, to)
		wantCode(t, err, bullpen.Conflict)
		if after := entries(t, to); !slices.Equal(before, after) {
			t.Errorf("%s: there was %v, now %v", what, before, after)
		}
	}
}

// What a killed backup leaves of a database is no reason to refuse the next one, nor is what
// systems put into folders; what is one, is named.
func TestWhatLiesThere(t *testing.T) {
	d := newData(t, 2)
	ctx := t.Context()
	put := func(dir string, names ...string) {
		t.Helper()
		for _, name := range names {
			if err := os.WriteFile(filepath.Join(dir, name), []byte("half a page of "+name), 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	made := func(dir string) error {
		t.Helper()
		_, err := Make(ctx, d.store, d.blobs, dir)
		return err
	}
	want := func(what string, err error, dir, names string) {
		t.Helper()
		if got := fmt.Sprint(entries(t, dir)); err != nil || got != names {
			t.Errorf("%s: %v; there is %s", what, err, got)
		}
		back := t.TempDir()
		if _, err := Restore(ctx, dir, back); err != nil || whole(t, back) != 2 {
			t.Errorf("%s: %v", what, err)
		}
	}

	first := t.TempDir()
	put(first, half, journal)
	if err := os.MkdirAll(filepath.Join(first, blob.Folder, "arriving"), 0o700); err != nil {
		t.Fatal(err)
	}
	want("the first was killed", made(first), first, "[files tenoff.db]")
	put(first, half, journal)
	want("the next was killed", made(first), first, "[files tenoff.db]")
	if err := os.Rename(filepath.Join(first, store.Database), filepath.Join(first, part)); err != nil {
		t.Fatal(err)
	}
	put(first, half, journal)
	want("one was killed that had films, and copied the database again", made(first), first, "[files tenoff.db]")

	if err := os.Rename(filepath.Join(first, store.Database), filepath.Join(first, part)); err != nil {
		t.Fatal(err)
	}
	late := d.add(ctx, "damaged here")
	if err := os.WriteFile(filepath.Join(d.dir, blob.Folder, d.films[late.ID].Key), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	wantCode(t, made(first), bullpen.Unavailable)
	d.remove(ctx, late.ID)
	want("one was killed that had films, and the next failed", made(first), first, "[files tenoff.db]")

	stray := t.TempDir()
	put(stray, ".DS_Store", "Thumbs.db")
	if err := os.Mkdir(filepath.Join(stray, "lost+found"), 0o700); err != nil {
		t.Fatal(err)
	}
	want("with strays", made(stray), stray, "[.DS_Store Thumbs.db files lost+found tenoff.db]")
	want("with strays, the next", made(stray), stray, "[.DS_Store Thumbs.db files lost+found tenoff.db]")

	put(first, "notes.txt")
	err := made(first)
	wantCode(t, err, bullpen.Conflict)
	if err := os.Remove(filepath.Join(first, "notes.txt")); err != nil {
		t.Fatal(err)
	}
	put(stray, store.Database)
	unread := made(stray)
	wantCode(t, unread, bullpen.Unavailable)
	for said, of := range map[string]error{"notes.txt": err, "can't be read": unread} {
		if !strings.Contains(bullpen.MessageOf(of), said) {
			t.Errorf("said %v", of)
		}
	}
}

// Where nobody knows a file's SHA-256 a source that rotted does not decide: what was copied
// before stays, and the difference is told.
func TestARottedSourceDoesNotDecide(t *testing.T) {
	ctx := t.Context()
	source, err := blob.Open(filepath.Join(t.TempDir(), blob.Folder))
	if err != nil {
		t.Fatal(err)
	}
	defer source.Close()
	to, err := open(filepath.Join(t.TempDir(), "copy"))
	if err != nil {
		t.Fatal(err)
	}
	defer to.close(nil)
	f := store.File{Key: "films/a/first/strip.jpegs", Bytes: 5}
	for blobs, content := range map[*blob.Store]string{source: "rot!!", to.blobs: "sound"} {
		if _, err := blobs.Put(ctx, f.Key, strings.NewReader(content)); err != nil {
			t.Fatal(err)
		}
	}
	_, spoilt, err := to.bring(ctx, source, []store.File{f})
	if err != nil || len(spoilt) != 1 {
		t.Errorf("spoilt %v, %v", spoilt, err)
	}
	kept, err := os.ReadFile(filepath.Join(filepath.Dir(to.part), blob.Folder, f.Key))
	if err != nil || string(kept) != "sound" {
		t.Errorf("kept %q, %v", kept, err)
	}
}

// Data that were brought back from an older backup don't take the place of a newer one; that
// which they came from goes on.
func TestANewerBackupStays(t *testing.T) {
	d := newData(t, 3)
	ctx := t.Context()
	make := func(d *data, dir string, removed int) error {
		t.Helper()
		r, err := Make(ctx, d.store, d.blobs, dir)
		if r.Removed != removed {
			t.Errorf("%d files were removed, want %d", r.Removed, removed)
		}
		return err
	}
	january, december := filepath.Join(t.TempDir(), "january"), filepath.Join(t.TempDir(), "december")
	if err := make(d, january, 0); err != nil {
		t.Fatal(err)
	}
	d.add(ctx, "of the spring")
	last := d.add(ctx, "of the fall")
	if err := make(d, december, 0); err != nil {
		t.Fatal(err)
	}
	back := t.TempDir()
	if _, err := Restore(ctx, january, back); err != nil {
		t.Fatal(err)
	}
	again := openData(t, back)
	wantCode(t, make(again, december, 0), bullpen.Conflict)
	if got := fmt.Sprint(entries(t, december)); got != "[files tenoff.db]" {
		t.Errorf("the newer one is %s", got)
	}
	if _, err := Restore(ctx, december, filepath.Join(t.TempDir(), "x")); err != nil {
		t.Errorf("the newer one: %v", err)
	}
	for range 2 {
		if err := make(again, january, 0); err != nil {
			t.Errorf("the one they came from: %v", err)
		}
	}
	d.remove(ctx, last.ID) // the newest there is
	if err := make(d, december, 1); err != nil {
		t.Error(err)
	}
}

// A backup that is brought up to date while it is brought back comes back whole: which files
// there have to be is read from the very database that comes with them.
func TestBroughtBackWhileBroughtUpToDate(t *testing.T) {
	d := newData(t, 2)
	ctx := t.Context()
	copied := filepath.Join(t.TempDir(), "copy")
	if _, err := Make(ctx, d.store, d.blobs, copied); err != nil {
		t.Fatal(err)
	}
	b, err := read(ctx, copied)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	d.add(ctx, "a film of this evening")
	if _, err := Make(ctx, d.store, d.blobs, copied); err != nil {
		t.Fatal(err)
	}
	back := t.TempDir()
	to, err := open(back)
	if err != nil {
		t.Fatal(err)
	}
	if r, err := to.bringBack(ctx, b); err != nil || r.Files != 3 {
		t.Errorf("%+v, %v", r, err)
	}
	if err := to.close(nil); err != nil {
		t.Fatal(err)
	}
	if n := whole(t, back); n != 3 {
		t.Errorf("%d films are back", n)
	}
}

// TestWhileOthersWork makes backups while films come and go.
func TestWhileOthersWork(t *testing.T) {
	d := newData(t, 12)
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		for i := 0; ctx.Err() == nil; i++ {
			f := d.add(t.Context(), strings.Repeat(fmt.Sprint("new", i), 500))
			if i%2 == 0 {
				d.remove(t.Context(), f.ID)
			}
			for id := range d.films { // and an old one, now and then
				if i%5 == 0 && len(d.films) > 6 {
					d.remove(t.Context(), id)
				}
				break
			}
		}
	}()
	for range 4 {
		copied := filepath.Join(t.TempDir(), "copy")
		if _, err := Make(t.Context(), d.store, d.blobs, copied); err != nil {
			t.Error(err)
			continue
		}
		back := t.TempDir()
		if _, err := Restore(t.Context(), copied, back); err != nil {
			t.Error(err)
			continue
		}
		if n := whole(t, back); n == 0 {
			t.Error("nothing was restored")
		}
	}
	stop()
	<-done
	if o, err := FindOrphans(t.Context(), d.store, d.blobs); err != nil || len(o.Files)+len(o.Rows) > 0 {
		t.Errorf("orphans: %+v, %v", o, err)
	}
}

func TestDamageIsFound(t *testing.T) {
	spoil := func(t *testing.T, path string) {
		t.Helper()
		if err := os.WriteFile(path, bytes.Repeat([]byte("x"), 7000), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	anyFile := func(d *data) string {
		for _, f := range d.films {
			return f.Key
		}
		return ""
	}
	t.Run("in the original", func(t *testing.T) {
		d := newData(t, 3)
		spoil(t, filepath.Join(d.dir, blob.Folder, anyFile(d)))
		to := filepath.Join(t.TempDir(), "copy")
		_, err := Make(t.Context(), d.store, d.blobs, to)
		wantCode(t, err, bullpen.Unavailable)
		if got := entries(t, to); len(got) != 0 {
			t.Errorf("left behind: %v", got)
		}
	})
	t.Run("original lost", func(t *testing.T) {
		d := newData(t, 3)
		key := anyFile(d)
		if err := d.blobs.Delete(t.Context(), key); err != nil {
			t.Fatal(err)
		}
		_, err := Make(t.Context(), d.store, d.blobs, filepath.Join(t.TempDir(), "copy"))
		if bullpen.CodeOf(err) != bullpen.Unavailable || !strings.Contains(bullpen.MessageOf(err), key) {
			t.Errorf("%v", err)
		}
	})
	for name, harm := range map[string]func(t *testing.T, copied, key string){
		"file spoilt":      func(t *testing.T, copied, key string) { spoil(t, filepath.Join(copied, blob.Folder, key)) },
		"file lost":        func(t *testing.T, copied, key string) { remove(t, filepath.Join(copied, blob.Folder, key)) },
		"all files lost":   func(t *testing.T, copied, _ string) { remove(t, filepath.Join(copied, blob.Folder)) },
		"database spoilt":  func(t *testing.T, copied, _ string) { spoil(t, filepath.Join(copied, store.Database)) },
		"database missing": func(t *testing.T, copied, _ string) { remove(t, filepath.Join(copied, store.Database)) },
	} {
		t.Run(name, func(t *testing.T) {
			d := newData(t, 3)
			copied := filepath.Join(t.TempDir(), "copy")
			if _, err := Make(t.Context(), d.store, d.blobs, copied); err != nil {
				t.Fatal(err)
			}
			harm(t, copied, anyFile(d))
			back := filepath.Join(t.TempDir(), "back")
			_, err := Restore(t.Context(), copied, back)
			if code := bullpen.CodeOf(err); code != bullpen.Unavailable && code != bullpen.NotFound {
				t.Errorf("%v", err)
			}
			if got := entries(t, back); len(got) != 0 {
				t.Errorf("left behind: %v", got)
			}
		})
	}
}

// A working copy that changed in the backup is no reason to lose the film: it is read
// again.
func TestWhatWasMadeIsMadeAgain(t *testing.T) {
	d := newData(t, 2)
	var id string
	for id = range d.films {
		break
	}
	f, err := d.store.Film(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	f.Made.Working = "films/" + id + "/first/working.mp4"
	content := strings.Repeat("picture ", 1000)
	sum := sha256.Sum256([]byte(content))
	if _, err := d.blobs.Put(t.Context(), f.Made.Working, strings.NewReader(content)); err != nil {
		t.Fatal(err)
	}
	f.Clock = bullpen.Clock{Num: 1, Den: 30, Slow: 1, Ticks: []int64{0, 1, 2}}
	if _, err := d.store.FilmRead(t.Context(), f, []store.File{{Key: f.Made.Working, Bytes: int64(len(content)), Sum: hex.EncodeToString(sum[:])}}); err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(t.TempDir(), "copy")
	if made, err := Make(t.Context(), d.store, d.blobs, copied); err != nil || made.Spoilt != 0 {
		t.Fatalf("%+v, %v", made, err)
	}
	path := filepath.Join(copied, blob.Folder, f.Made.Working)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	data[3000] ^= 4
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	back := t.TempDir()
	restored, err := Restore(t.Context(), copied, back)
	if err != nil || restored.Spoilt != 1 {
		t.Fatalf("%+v, %v", restored, err)
	}
	if n := whole(t, back); n != 2 {
		t.Errorf("%d files", n)
	}
	b := openData(t, back)
	got, err := b.store.Film(t.Context(), id)
	if err != nil || got.State != bullpen.FilmReading || got.Made != (store.FilmFiles{Original: f.Made.Original}) || got.Clock.Frames() != 3 {
		t.Errorf("%+v, %v", got, err)
	}
	jobs, err := b.store.Jobs(t.Context(), d.pen.ID)
	if err != nil || !slices.ContainsFunc(jobs, func(j store.Job) bool { return j.Kind == "read film" && j.Subject == id && j.State == store.JobQueued }) {
		t.Errorf("jobs %+v, %v", jobs, err)
	}
}

// A clip that changed in the backup is rendered again; one that went with an answer can't
// be, it showed what was true then.
func TestASpoiltClipIsMadeAgain(t *testing.T) {
	d := newData(t, 1)
	rep, _, err := d.store.AddRep(t.Context(), bullpen.Rep{BullpenID: d.pen.ID, Pitch: bullpen.Fastball, Drive: -1, Plant: -1, Top: -1, Release: -1})
	if err != nil {
		t.Fatal(err)
	}
	clip := func() (id, key string) {
		t.Helper()
		c, err := d.store.QueueClip(t.Context(), store.Clip{BullpenID: d.pen.ID, Kind: "single", RepID: rep.ID, Options: "{}"}, store.NewJob{Kind: "a clip of before"})
		if err != nil {
			t.Fatal(err)
		}
		content := strings.Repeat(c.ID, 200)
		sum := sha256.Sum256([]byte(content))
		file := store.File{Key: "clips/" + c.ID + "/a/clip.mp4", Bytes: int64(len(content)), Sum: hex.EncodeToString(sum[:])}
		if _, err := d.blobs.Put(t.Context(), file.Key, strings.NewReader(content)); err != nil {
			t.Fatal(err)
		}
		c.Shows, c.Made = "what it shows", `{"film":"`+file.Key+`"}`
		if _, err := d.store.FinishClip(t.Context(), c, []store.File{file}); err != nil {
			t.Fatal(err)
		}
		return c.ID, file.Key
	}
	sound, _ := clip()
	spoilt, key := clip()
	copied := filepath.Join(t.TempDir(), "copy")
	if _, err := Make(t.Context(), d.store, d.blobs, copied); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(copied, blob.Folder, key)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	data[30] ^= 4
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	back := t.TempDir()
	if restored, err := Restore(t.Context(), copied, back); err != nil || restored.Spoilt != 1 {
		t.Fatalf("%+v, %v", restored, err)
	}
	b := openData(t, back)
	if c, err := b.store.Clip(t.Context(), sound); err != nil || c.State != "ready" || c.Shows == "" {
		t.Errorf("the sound one: %+v, %v", c, err)
	}
	c, err := b.store.Clip(t.Context(), spoilt)
	if err != nil || c.State != "queued" || c.Shows != "" || c.Made == "" {
		t.Errorf("the spoilt one: %+v, %v", c, err)
	}
	if j, err := b.store.Job(t.Context(), c.JobID); err != nil || j.Kind != renderClip || j.Subject != spoilt || j.State != store.JobQueued {
		t.Errorf("its job: %+v, %v", j, err)
	}
}

// lastly is a reader that does something when it is at its end.
type lastly struct {
	io.Reader
	do func()
}

func (l lastly) Read(p []byte) (int, error) {
	n, err := l.Reader.Read(p)
	if err == io.EOF {
		l.do()
	}
	return n, err
}

// A copy that reads back otherwise than it was written fails the backup, also where the
// file was no longer what it was: the disk can't be trusted with the others either.
func TestASpoiltFileIsReadBackToo(t *testing.T) {
	const content = "what a strip once was"
	for name, harm := range map[string]bool{"a good disk": false, "a bad disk": true} {
		t.Run(name, func(t *testing.T) {
			to, err := open(filepath.Join(t.TempDir(), "copy"))
			if err != nil {
				t.Fatal(err)
			}
			defer to.close(nil)
			in := lastly{strings.NewReader(content), func() {
				if !harm {
					return
				}
				err := filepath.WalkDir(filepath.Dir(to.part), func(path string, e fs.DirEntry, err error) error {
					if err != nil || e.Name() != "file" {
						return err
					}
					return os.WriteFile(path, []byte(strings.ToUpper(content)), 0o600)
				})
				if err != nil {
					t.Error(err)
				}
			}}
			whole, err := to.bringOne(t.Context(), in, store.File{Key: "films/a/first/strip.jpegs", Bytes: int64(len(content)), Sum: "another"})
			if whole || (err != nil) != harm {
				t.Errorf("whole %v, %v", whole, err)
			}
			if harm && !strings.Contains(bullpen.MessageOf(err), "reads back otherwise") {
				t.Errorf("said %v", err)
			}
		})
	}
}

// What the disk says comes in a sentence.
func TestADiskErrorIsSaid(t *testing.T) {
	d := newData(t, 1)
	copied := filepath.Join(t.TempDir(), "copy")
	if _, err := Make(t.Context(), d.store, d.blobs, copied); err != nil {
		t.Fatal(err)
	}
	for _, f := range d.films { // a folder opens, and can't be read
		path := filepath.Join(copied, blob.Folder, f.Key)
		if err := errors.Join(os.Remove(path), os.Mkdir(path, 0o700)); err != nil {
			t.Fatal(err)
		}
	}
	_, err := Restore(t.Context(), copied, t.TempDir())
	if bullpen.CodeOf(err) != bullpen.Unavailable || !strings.Contains(bullpen.MessageOf(err), "is a directory") {
		t.Errorf("said %v", err)
	}
}

func remove(t *testing.T, path string) {
	t.Helper()
	if err := os.RemoveAll(path); err != nil {
		t.Fatal(err)
	}
}

func TestLook(t *testing.T) {
	d := newData(t, 3)
	ids := make([]string, 0, 3)
	for id := range d.films {
		ids = append(ids, id)
	}
	lost, short := d.films[ids[0]], d.films[ids[1]]
	if err := d.blobs.Delete(t.Context(), lost.Key); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(filepath.Join(d.dir, blob.Folder, short.Key), 5); err != nil {
		t.Fatal(err)
	}
	debris := "films/" + ids[2] + "/first/strip.jpegs" // of a film that is here
	for _, key := range []string{"films/nobody/original", "films/arriving-now/original", debris} {
		if _, err := d.blobs.Put(t.Context(), key, strings.NewReader("x")); err != nil {
			t.Fatal(err)
		}
	}
	if err := d.store.Expect(t.Context(), "films/arriving-now/original", "films/soon/original"); err != nil {
		t.Fatal(err)
	}
	o, err := FindOrphans(t.Context(), d.store, d.blobs)
	if err != nil {
		t.Fatal(err)
	}
	nobodys := blob.Info{Key: "films/nobody/original", Size: 1}
	if len(o.Files) != 2 || !slices.Contains(o.Files, nobodys) || !slices.Contains(o.Files, blob.Info{Key: debris, Size: 1}) {
		t.Errorf("files without rows: %+v", o.Files)
	}
	if len(o.Alien) != 1 || o.Alien[0] != nobodys {
		t.Errorf("files of films that are not here: %+v", o.Alien)
	}
	if len(o.Rows) != 2 || o.Rows[0].Key+o.Rows[1].Key != min(lost.Key, short.Key)+max(lost.Key, short.Key) {
		t.Errorf("rows without files: %+v", o.Rows)
	}
}
