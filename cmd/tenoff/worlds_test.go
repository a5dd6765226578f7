//go:build unix

package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"
	"golang.org/x/sync/errgroup"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/store"
)

// visit opens what a command line names beside whoever works on it, until the test ends.
func visit(t *testing.T, args []string) *data {
	t.Helper()
	flags := flag.NewFlagSet("", flag.ContinueOnError)
	at := placeFlags(flags)
	if err := flags.Parse(args); err != nil {
		t.Fatal(err)
	}
	d, err := at.open(t.Context(), existing)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	})
	return d
}

// sums are the SHA-256 of all files that the database names, by key.
func (d *data) sums(t *testing.T) map[string]string {
	t.Helper()
	named, err := d.store.NamedFiles(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range named {
		if out[f.Key], err = d.blobs.Sum(t.Context(), f.Key); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// exports reads all that can be exported of every pitcher and bullpen from a server.
func exports(t *testing.T, s *store.Store, url string) map[string]string {
	t.Helper()
	out := map[string]string{}
	pitchers, err := s.Pitchers(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, her := range pitchers {
		pens, err := s.AllBullpens(t.Context(), her.ID)
		if err != nil {
			t.Fatal(err)
		}
		paths := []string{"/api/pitchers/" + her.ID}
		for _, b := range pens {
			paths = append(paths, "/api/bullpens/"+b.ID)
		}
		for _, path := range paths {
			for _, end := range []string{"/reps.csv", "/reps.json"} {
				out[path+end] = string(get(t, url+path+end))
			}
		}
	}
	return out
}

// idle waits until no job waits or runs.
func idle(t *testing.T, s *store.Store) {
	t.Helper()
	for range 6000 {
		queues, err := s.Queues(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if len(queues) == 0 {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Fatal("there is still work after two minutes")
}

// done runs a command that must succeed.
func done(t *testing.T, args ...string) (says string) {
	t.Helper()
	code, says, errs := call(t.Context(), args...)
	if code != exitOK {
		t.Fatalf("%v: %d %s%s", args, code, says, errs)
	}
	return says
}

// A data folder with a filmed bullpen, weeks before it and a second instructor moves to an
// academy on PostgreSQL and a bucket, from there to another on a folder (with -storage, where
// both are a real storage's, to a bucket), and back to a data folder: its exports are the same
// byte by byte, its files by SHA-256.
func TestBetweenTheWorlds(t *testing.T) {
	ctx := t.Context()
	dir := t.TempDir()
	p, url := start(t, dir)
	_, made, _ := demo.Bullpen()
	small := scenario{
		pitcher: bullpen.NewPitcher("Wren", bullpen.Level{Key: "14U", DistanceFeet: 43, ExtensionFeet: 6, BallKind: "12 in"}),
		pen:     bullpen.Bullpen{Title: "Small", Gun: bullpen.BehindPitcher, Unit: bullpen.MPH, Step: 1, Note: made.Note},
		options: small(),
	}
	quiet := streams{nil, io.Discard, io.Discard}
	if err := errors.Join(p.makeDemo(ctx, quiet, small, true), p.makeSeason(ctx, quiet, demo.Seasons(time.Now())[:1])); err != nil {
		t.Fatal(err)
	}
	sam, err := p.store.AddAccount(ctx, "Sam", "x")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.store.AddPitcher(store.Within(ctx, sam.Academy), bullpen.NewPitcher("Ñandú “Kit” 😀", bullpen.Level{Key: "14U", DistanceFeet: 43, ExtensionFeet: 6, BallKind: "12 in"})); err != nil {
		t.Fatal(err)
	}
	idle(t, p.store)
	said, sums := exports(t, p.store, url), p.data.sums(t)
	if len(said) < 10 || len(sums) < 10 {
		t.Fatalf("only %d exports and %d files", len(said), len(sums))
	}

	saved := filepath.Join(t.TempDir(), "from a data folder")
	done(t, "backup", "--data", dir, saved)
	a := newAcademy(t)
	if *storage {
		a.rentServer()
	} else {
		a.rent()
	}
	done(t, a.args("restore", saved)...)
	rows, err := p.store.Pitchers(store.Within(ctx, sam.Academy))
	if err != nil || len(rows) != 1 {
		t.Fatalf("%+v, %v", rows, err)
	}
	m := a.begin("Asia/Tokyo", "--zone", "UTC")
	there := visit(t, a.args("")[1:])
	same := func(what string, d *data, url string) {
		t.Helper()
		if got := d.sums(t); !maps.Equal(got, sums) {
			t.Errorf("%s: other files: %s", what, cmp.Diff(sums, got))
		}
		if got := exports(t, d.store, url); !maps.Equal(got, said) {
			t.Errorf("%s: other exports: %s", what, cmp.Diff(said, got))
		}
		hers, err := d.store.Pitchers(store.Within(t.Context(), sam.Academy))
		if diff := cmp.Diff(rows, hers); diff != "" || err != nil {
			t.Errorf("%s: %s %v", what, diff, err)
		}
	}
	same("academy with a bucket", there, m.url)
	if code, _, errs := call(ctx, a.args("restore", saved)...); code != exitFailed || !strings.Contains(errs, "something in this database already") {
		t.Errorf("restored twice: %d %s", code, errs)
	}

	again := filepath.Join(t.TempDir(), "from an academy")
	done(t, a.args("backup", again)...) // while it serves
	if says := done(t, a.args("backup", again)...); !strings.Contains(says, fmt.Sprintf("; %d of them ", len(sums))) {
		t.Errorf("the next backup, with nothing new: %s", says)
	}
	m.kill()
	b := newAcademy(t)
	if *storage {
		b.rentServer()
	}
	done(t, b.args("restore", again)...)
	m = b.begin("Europe/Berlin", "--zone", "UTC")
	same("another academy", visit(t, b.args("")[1:]), m.url)
	_, says, _ := call(ctx, b.args("doctor")...) // it minds a page that is not built in
	for _, want := range []string{"ok   rows can be kept", "ok   files ", "ok   stray files ", "ok   uploads "} {
		if !strings.Contains(says, want) {
			t.Errorf("doctor: %s", says)
		}
	}
	last := filepath.Join(t.TempDir(), "from another academy")
	done(t, b.args("backup", last)...)
	m.kill()

	back := t.TempDir()
	done(t, "restore", "--data", back, last)
	q, url := start(t, back)
	idle(t, q.store)
	same("back in a data folder", q.data, url)
}

// filed is a backup of a bullpen with so many films, which nothing reads.
func filed(t *testing.T, films int) (backup string, sums map[string]string) {
	t.Helper()
	ctx := t.Context()
	dir := t.TempDir()
	s, err := store.OpenScratch(ctx, dir)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	blobs, err := blob.Open(filepath.Join(dir, blob.Folder))
	if err != nil {
		t.Fatal(err)
	}
	defer blobs.Close()
	_, pen, err := s.AddBullpenFor(ctx, bullpen.Pitcher{Label: "Kit"}, bullpen.Bullpen{Day: "2026-04-11"}, true)
	if err != nil {
		t.Fatal(err)
	}
	sums = map[string]string{}
	for i := range films {
		id := store.NewFilmID()
		content := strings.Repeat(fmt.Sprint("film ", i), 5000)
		sum := sha256.Sum256([]byte(content))
		key := "films/" + id + "/original"
		sums[key] = hex.EncodeToString(sum[:])
		if _, err := blobs.Put(ctx, key, strings.NewReader(content)); err != nil {
			t.Fatal(err)
		}
		if _, _, err := s.AddFilm(ctx, store.Film{
			Film: bullpen.Film{ID: id, BullpenID: pen.ID, Name: "a.mov", SHA256: sums[key], Bytes: int64(len(content)), State: bullpen.FilmReading},
			Made: store.FilmFiles{Original: key},
		}, store.NewJob{Kind: "read film"}); err != nil {
			t.Fatal(err)
		}
	}
	backup = filepath.Join(t.TempDir(), "saved")
	done(t, "backup", "--data", dir, backup)
	return backup, sums
}

// A restore onto an academy that is killed, amid the files and amid the rows, leaves a
// database with nothing in it, and the next call goes on: what was sent is not sent again.
func TestRestoreKilled(t *testing.T) {
	const films = 8
	saved, sums := filed(t, films)
	a := newAcademy(t)
	s3 := a.rent()
	ctx := t.Context()
	begin := func() *exec.Cmd {
		t.Helper()
		cmd := exec.Command(os.Args[0], a.args("restore", saved)...)
		cmd.Env = append(os.Environ(), asProgram+"=1", "TMPDIR="+t.TempDir())
		cmd.Stderr = &bytes.Buffer{}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		return cmd
	}
	holder, err := pgx.Connect(ctx, a.address)
	if err != nil {
		t.Fatal(err)
	}
	defer holder.Close(context.WithoutCancel(ctx))
	nothingThere := func(what string) {
		t.Helper()
		others := 1
		for range 1000 { // what it was at ends when the server sees that it is gone
			if err := holder.QueryRow(ctx, `SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND backend_type = 'client backend' AND pid <> pg_backend_pid()`).Scan(&others); err != nil {
				t.Fatal(err)
			}
			if others == 0 {
				break
			}
			time.Sleep(20 * time.Millisecond)
		}
		s, err := store.VisitPostgres(ctx, a.address)
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		if err := s.Blank(ctx); err != nil {
			t.Errorf("killed %s: %v", what, err)
		}
	}
	isPut := func(request string) bool {
		return strings.HasPrefix(request, "PUT ") && strings.Contains(request, "/academy/files/")
	}

	stored := 0
	reached, killed := make(chan struct{}), make(chan struct{})
	s3.Fault(func(_ http.ResponseWriter, r *http.Request) bool {
		if isPut(r.Method + " " + r.URL.Path) {
			if stored++; stored == films/2 {
				close(reached)
			}
			if stored >= films/2 {
				<-killed // it never hears of this one
				return true
			}
		}
		return false
	})
	cmd := begin()
	select {
	case <-reached:
	case <-time.After(time.Minute):
		close(killed)
		t.Fatalf("it sends nothing: %s", cmd.Stderr)
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait() // it was killed
	close(killed)
	s3.Fault(nil)
	nothingThere("amid the files")

	held, err := holder.Begin(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := held.Exec(ctx, `LOCK TABLE films IN SHARE MODE`); err != nil { // what comes before films is filled
		t.Fatal(err)
	}
	cmd = begin()
	waits := func() (n int) {
		if err := held.QueryRow(ctx, `SELECT count(*) FROM pg_locks WHERE NOT granted`).Scan(&n); err != nil {
			t.Fatal(err)
		}
		return n
	}
	for range 1000 {
		if waits() > 0 {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	if waits() == 0 {
		t.Fatalf("it stores no rows: %s", cmd.Stderr)
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait()
	if err := held.Rollback(ctx); err != nil {
		t.Fatal(err)
	}
	nothingThere("amid the rows")

	s3.Asked()
	done(t, a.args("restore", saved)...)
	if sent := slices.DeleteFunc(s3.Asked(), func(r string) bool { return !isPut(r) }); len(sent) > 0 {
		t.Errorf("sent again: %v", sent)
	}
	if got := visit(t, a.args("")[1:]).sums(t); !maps.Equal(got, sums) {
		t.Errorf("other files: %s", cmp.Diff(sums, got))
	}
	objects, uploads := s3.Left()
	if len(objects) != films+1 || len(uploads) > 0 { // and the mark
		t.Errorf("there are %v and %v", objects, uploads)
	}
}

// A place with others' files is left as it is, and so is a data folder.
func TestRestoreOntoOthers(t *testing.T) {
	saved, _ := filed(t, 1)
	a := newAcademy(t)
	ctx := t.Context()
	stray := filepath.Join(a.data, blob.Folder, "films", "x", "original")
	if err := errors.Join(os.MkdirAll(filepath.Dir(stray), 0o700), os.WriteFile(stray, []byte("x"), 0o600)); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := call(ctx, a.args("restore", saved)...); code != exitFailed || !strings.Contains(errs, "name an empty place") {
		t.Errorf("beside films of nobody's: %d %s", code, errs)
	}
	if err := (markedFolder(a.data)).SetMark(ctx, "another"); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := call(ctx, a.args("restore", saved)...); code != exitFailed || !strings.Contains(errs, "films of another database") {
		t.Errorf("beside another's films: %d %s", code, errs)
	}
	if _, err := os.Stat(stray); err != nil {
		t.Error(err)
	}
	a.data = t.TempDir()
	s, err := store.Open(ctx, a.data)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := call(ctx, a.args("restore", saved)...); code != exitFailed || !strings.Contains(errs, "a database of its own") {
		t.Errorf("onto a data folder: %d %s", code, errs)
	}
	const older = 28 // an academy's of an older version, at a wrong address
	if err := a.server.Do(ctx, "academy", fmt.Sprintf(`UPDATE tenoff_schema SET schema = %d`, older)); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := call(ctx, a.args("restore", saved)...); code != exitFailed || !strings.Contains(errs, "of another version") {
		t.Errorf("onto an older academy: %d %s", code, errs)
	}
	a.raise(fmt.Sprintf(`(SELECT schema FROM tenoff_schema) <> %d`, older), "a restore that was refused changed the schema")
}

// What a killed command left on this machine is removed by the next; not what one is at work
// on, what was just made, or what somebody else put there.
func TestSweepScratch(t *testing.T) {
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	if got := os.TempDir(); got != temp {
		t.Fatalf("temporary files lie in %s", got)
	}
	make := func(name string, age time.Duration) string {
		t.Helper()
		dir := filepath.Join(temp, name)
		if err := errors.Join(os.Mkdir(dir, 0o700), os.WriteFile(filepath.Join(dir, "film"), nil, 0o600), os.Chtimes(dir, time.Time{}, time.Now().Add(-age))); err != nil {
			t.Fatal(err)
		}
		return dir
	}
	elsewhere := t.TempDir()
	left, young, other := make(scratchName+"1", time.Hour), make(scratchName+"2", 0), make("other", time.Hour)
	used, remove, err := scratch()
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.Chtimes(used, time.Time{}, time.Now().Add(-time.Hour)), os.Symlink(elsewhere, filepath.Join(temp, scratchName+"3"))); err != nil {
		t.Fatal(err)
	}
	strangers := ""
	if os.Geteuid() == 0 {
		strangers = make(scratchName+"4", time.Hour)
		if err := errors.Join(os.Chown(strangers, 65534, 65534), os.Chtimes(strangers, time.Time{}, time.Now().Add(-time.Hour))); err != nil {
			t.Fatal(err)
		}
	}
	_, removeAgain, err := scratch()
	if err != nil {
		t.Fatal(err)
	}
	there := func(dir string) bool { _, err := os.Stat(dir); return err == nil }
	if there(left) || !there(young) || !there(other) || !there(used) || !there(elsewhere) || strangers != "" && !there(strangers) {
		t.Errorf("left %v, young %v, other %v, used %v", there(left), there(young), there(other), there(used))
	}
	if err := errors.Join(removeAgain(), remove()); err != nil || there(used) {
		t.Errorf("its own: %v", err)
	}
}

// Programs that begin at once sweep the same folders, and none of them has anything to warn
// of: neither of what another removes meanwhile, nor where there is no folder for temporary
// files at all.
func TestSweepScratchTogether(t *testing.T) {
	if err := sweepScratch(filepath.Join(t.TempDir(), "none"), time.Now()); err != nil {
		t.Errorf("where there is none: %v", err)
	}
	temp := t.TempDir()
	for range 20 {
		for i := range 20 {
			dir := filepath.Join(temp, fmt.Sprint(scratchName, i))
			for _, folder := range []string{"copies", "arriving", "uploads"} {
				if err := os.MkdirAll(filepath.Join(dir, folder, "film"), 0o700); err != nil {
					t.Fatal(err)
				}
			}
		}
		var all errgroup.Group
		for range 4 {
			all.Go(func() error { return sweepScratch(temp, time.Now().Add(time.Hour)) })
		}
		if err := all.Wait(); err != nil {
			t.Error(err)
		}
		if err := sweepScratch(temp, time.Now().Add(time.Hour)); err != nil {
			t.Error(err)
		}
		if left, err := os.ReadDir(temp); err != nil || len(left) > 0 {
			t.Fatalf("left are %v, %v", left, err)
		}
	}
}

// The doctor of an academy says what to do about each fault of the database and the bucket,
// and no secret.
func TestDoctorOfAnAcademy(t *testing.T) {
	a := newAcademy(t)
	s3 := a.rent()
	ctx := t.Context()
	const password = "nobody-may-read-this"
	t.Setenv("PGPASSWORD", password)
	says := func(want ...string) {
		t.Helper()
		_, says, errs := call(ctx, a.args("doctor")...)
		for _, w := range want {
			if !strings.Contains(says, w) {
				t.Errorf("the doctor does not say %q:\n%s%s", w, says, errs)
			}
		}
		if secret := os.Getenv("TENOFF_S3_SECRET"); strings.Contains(says+errs, password) || strings.Contains(says+errs, secret) {
			t.Errorf("the doctor tells a secret: %s%s", says, errs)
		}
	}
	well := []string{"ok   rows can be kept", "ok   database's clock", "ok   bucket  ", "ok   bucket's clock"}
	says(append(well, "nothing in this database yet")...)
	m := a.begin("Asia/Tokyo", "--zone", "UTC")
	says(append(well, "every file is there")...)
	m.kill()

	s3.Fault(func(w http.ResponseWriter, r *http.Request) bool {
		w.Header().Set("Date", time.Now().Add(20*time.Minute).UTC().Format(http.TimeFormat))
		if r.Method != http.MethodPut {
			return false
		}
		w.WriteHeader(http.StatusForbidden)
		_, _ = io.WriteString(w, `<Error><Code>AccessDenied</Code></Error>`)
		return true
	})
	says("NOT  bucket ", "s3:PutObject")
	s3.Fault(func(w http.ResponseWriter, r *http.Request) bool {
		w.Header().Set("Date", time.Now().Add(20*time.Minute).UTC().Format(http.TimeFormat))
		return false
	})
	says("ok   bucket  ", "NOT  bucket's clock", "s ahead of this machine's")
	s3.Fault(nil)

	if err := a.server.Do(ctx, "postgres", `ALTER DATABASE academy SET default_transaction_read_only = on`); err != nil {
		t.Fatal(err)
	}
	says("NOT  rows can be kept", "takes no changes now")
	if err := a.server.Do(ctx, "postgres", `ALTER DATABASE academy RESET default_transaction_read_only`, `CREATE ROLE weak LOGIN`,
		`CREATE DATABASE odd ENCODING 'SQL_ASCII' TEMPLATE template0 LOCALE_PROVIDER libc LOCALE 'C'`); err != nil {
		t.Fatal(err)
	}
	right := a.address
	a.address = strings.Replace(right, "://tenoff@", "://weak@", 1)
	says("may not make or change tables")
	a.address = a.server.Address("odd")
	says("createdb -E UTF8")
	a.address = a.server.Address("nowhere")
	says("NOT  PostgreSQL", "There is no database of that name", "ok   bucket  ")
}
