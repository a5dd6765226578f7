package store

import (
	"database/sql"
	"os"
	"path/filepath"
	"testing"
	"time"

	"go.uber.org/goleak"

	"tenoff/internal/bullpen"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(killEnv); dir != "" {
		os.Exit(markForEver(dir))
	}
	goleak.VerifyTestMain(overBoth{m})
}

// fresh opens a store with nothing in it.
func fresh(t testing.TB) *Store {
	t.Helper()
	if server != nil {
		return onServer(t)
	}
	s, err := OpenScratch(t.Context(), t.TempDir())
	return closing(t, s, err)
}

// at opens a folder's store as the program does.
func at(t testing.TB, dir string) *Store {
	t.Helper()
	s, err := Open(t.Context(), dir)
	return closing(t, s, err)
}

// closing is a store that was opened and is closed when the test ends.
func closing(t testing.TB, s *Store, err error) *Store {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// pen stores a pitcher with one bullpen.
func pen(t testing.TB, s *Store, label, day string) bullpen.Bullpen {
	t.Helper()
	level, _ := bullpen.LevelOf("14U")
	_, b, err := s.AddBullpenFor(t.Context(), bullpen.NewPitcher(label, level),
		bullpen.Bullpen{Day: day, Title: "after school", Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}, true)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// reading stores a film that is still to be read.
func reading(t testing.TB, s *Store, b bullpen.Bullpen, name, sum string) Film {
	t.Helper()
	id := NewFilmID()
	f, there, err := s.AddFilm(t.Context(), Film{
		Film: bullpen.Film{ID: id, BullpenID: b.ID, Name: name, SHA256: sum, Bytes: 1000, State: bullpen.FilmReading},
		Made: FilmFiles{Original: "films/" + id + "/original"},
	}, NewJob{Kind: "read film"})
	if err != nil || there {
		t.Fatalf("AddFilm: there %v, %v", there, err)
	}
	return f
}

// ready stores a film of 30 frames a second that was read.
func ready(t testing.TB, s *Store, b bullpen.Bullpen, name string, frames int, recorded int64) Film {
	t.Helper()
	f := reading(t, s, b, name, name)
	f.Recorded, f.Width, f.Height, f.Codec, f.HasSound = recorded, 1280, 720, "h264", true
	f.Clock = bullpen.Clock{Num: 1, Den: 600, Slow: 1}
	for i := range frames {
		f.Clock.Ticks = append(f.Clock.Ticks, int64(20*i+i%3))
	}
	prefix := "films/" + f.ID + "/first/"
	f.Made.Working, f.Made.Strip, f.Made.Motion = prefix+"working.mp4", prefix+"strip.jpegs", prefix+"motion.trace"
	f.Made.Cut = Cut{Key: f.Made.Original, Container: "mov", Video: 0, Audio: 1, FirstTick: -40, Start: 0.1}
	files := []File{{Key: f.Made.Working, Bytes: 300}, {Key: f.Made.Strip, Bytes: 20}, {Key: f.Made.Motion, Bytes: 3}}
	if _, err := s.FilmRead(t.Context(), f, files); err != nil {
		t.Fatal(err)
	}
	f, err := s.Film(t.Context(), f.ID)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// unmarked is a rep that was read off the gun only.
func unmarked(b bullpen.Bullpen, pitch bullpen.Pitch, value float64) bullpen.Rep {
	return bullpen.Rep{
		BullpenID: b.ID, Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: bullpen.Unmarked, Pitch: pitch,
		Reading: &bullpen.Reading{Value: value, Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher},
	}
}

// marked is a rep with a release on a film.
func marked(f Film, release int, pitch bullpen.Pitch) bullpen.Rep {
	r := unmarked(bullpen.Bullpen{ID: f.BullpenID}, pitch, 50)
	r.FilmID, r.Release = f.ID, release
	return r
}

// add stores a rep.
func add(t testing.TB, s *Store, r bullpen.Rep) bullpen.Rep {
	t.Helper()
	r, _, err := s.AddRep(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func wantCode(t testing.TB, err error, want bullpen.Code) {
	t.Helper()
	if bullpen.CodeOf(err) != want {
		t.Errorf("error %v: code %q, want %q", err, bullpen.CodeOf(err), want)
	}
}

// TestOnlyTheOwnerReadsTheDatabase also of a database that an older program left
// open to others.
func TestOnlyTheOwnerReadsTheDatabase(t *testing.T) {
	dir := t.TempDir()
	for _, when := range []string{"new", "opened again"} {
		s, err := Open(t.Context(), dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{Database, Database + "-wal", Database + "-shm"} {
			info, err := os.Stat(filepath.Join(dir, name))
			if err != nil {
				t.Fatal(err)
			}
			if info.Mode().Perm() != 0o600 {
				t.Errorf("%s: %s has rights %v", when, name, info.Mode().Perm())
			}
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(filepath.Join(dir, Database), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestOpenSettings(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data ?#%41 é")
	s := at(t, dir)
	if _, err := os.Stat(filepath.Join(dir, Database)); err != nil {
		t.Fatalf("the database is not where it should be: %v", err)
	}
	pragma := func(db *sql.DB, name string) (v string) {
		t.Helper()
		if err := db.QueryRow("PRAGMA " + name).Scan(&v); err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, c := range []struct{ name, writer, reader string }{
		{"journal_mode", "wal", "wal"},
		{"synchronous", "2", ""}, // FULL: what is acknowledged survives a power cut
		{"foreign_keys", "1", "1"},
		{"busy_timeout", "5000", "5000"},
	} {
		if got := pragma(s.write, c.name); got != c.writer {
			t.Errorf("writer: %s is %s, want %s", c.name, got, c.writer)
		}
		if got := pragma(s.read, c.name); c.reader != "" && got != c.reader {
			t.Errorf("reader: %s is %s, want %s", c.name, got, c.reader)
		}
	}
	if _, err := s.read.Exec(`DELETE FROM academies`); err == nil {
		t.Error("a reader could write")
	}
	var loose int
	err := s.read.QueryRow(`SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite_%' AND NOT strict`).Scan(&loose)
	if err != nil || loose != 0 {
		t.Errorf("%d tables are not STRICT (%v)", loose, err)
	}
	missing, err := all(t.Context(), s.read, text, `SELECT l.name FROM pragma_table_list l WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite_%'
		AND name NOT IN ('academies', 'attempts') AND NOT EXISTS (SELECT 1 FROM pragma_table_info(l.name) WHERE name = 'academy_id')`)
	if err != nil || len(missing) != 0 {
		t.Errorf("tables without an academy: %v (%v)", missing, err)
	}
}

func TestEverythingIsThereTomorrow(t *testing.T) {
	dir := t.TempDir()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "IMG_1.mov", 90, time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC).UnixMicro())
	r := marked(f, 40, bullpen.ChangeUp)
	r.Drive, r.Plant, r.Top = 20, 30, 36
	r.Drill, r.Set, r.Number, r.Call, r.WarmUp, r.Note = " on the  wall ", 2, 3, bullpen.Strike, true, "low {\\b1} \"away\"\n"
	r.Reading = &bullpen.Reading{Value: 77.5, Unit: bullpen.KMH, Step: 0.5, Gun: bullpen.BehindPitcher}
	if r = add(t, s, r); r.Drill != "on the wall" {
		t.Errorf("drill %q", r.Drill)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = at(t, dir)
	got, err := s.Rep(t.Context(), r.ID)
	same(t, got, r, err)
	film, err := s.Film(t.Context(), f.ID)
	same(t, film, f, err)
	bull, revision, err := s.Bullpen(t.Context(), b.ID)
	same(t, bull, b, err)
	if revision < 3 {
		t.Errorf("revision %d after a film and a rep", revision)
	}
	p, err := s.Pitcher(t.Context(), b.PitcherID)
	if err != nil || p.Label != "Kit" || p.DistanceFeet != 43 {
		t.Errorf("pitcher %+v, %v", p, err)
	}
}
