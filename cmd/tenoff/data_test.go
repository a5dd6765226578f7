package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// A data folder that lost its database is not begun anew over the films.
func TestFilesWithoutTheirDatabase(t *testing.T) {
	for name, lose := range map[string]func(db string) error{
		"lost":  os.Remove,
		"empty": func(db string) error { return os.Truncate(db, 0) },
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			if code, _, errs := call(t.Context(), "add", "--data", dir, "--pitcher", "Wren", drawn.path); code != exitOK {
				t.Fatal(errs)
			}
			db := filepath.Join(dir, store.Database)
			if err := lose(db); err != nil {
				t.Fatal(err)
			}
			for _, args := range [][]string{
				{"serve", "--data", dir, "--listen", "127.0.0.1:0"},
				{"add", "--data", dir, "--pitcher", "Wren", drawn.path},
				{"backup", "--data", dir, t.TempDir()},
			} {
				code, _, errs := call(t.Context(), args...)
				if code != exitFailed || !strings.Contains(errs, "`tenoff restore`") {
					t.Errorf("%s: %d %q", args[0], code, errs)
				}
			}
			code, out, _ := call(t.Context(), "doctor", "--data", dir)
			if code != exitFailed || !strings.Contains(out, "`tenoff restore`") || strings.Contains(out, "by hand") {
				t.Errorf("doctor: %d %s", code, out)
			}
			if info, err := os.Stat(db); err == nil && info.Size() > 0 {
				t.Errorf("a database of %d bytes was made", info.Size())
			}
		})
	}
}

// Files of which the database knows nothing may be all that is left of a film: the
// doctor never has them deleted.
func TestTheWrongDatabase(t *testing.T) {
	dir := t.TempDir()
	if code, _, errs := call(t.Context(), "add", "--data", dir, "--pitcher", "Wren", drawn.path); code != exitOK {
		t.Fatal(errs)
	}
	for _, name := range []string{store.Database, store.Database + "-wal", store.Database + "-shm"} {
		if err := os.RemoveAll(filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	st, err := store.Open(t.Context(), dir) // another program's, or one of before the film
	if err != nil {
		t.Fatal(err)
	}
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	code, out, _ := call(t.Context(), "doctor", "--data", dir)
	if code != exitFailed || strings.Contains(out, "by hand") || !strings.Contains(out, "Keep them") {
		t.Errorf("doctor: %d %s", code, out)
	}
}

// Films that can't be taken in leave no bullpen behind, and no pitcher of whom it would
// have been the first.
func TestAFailedAddLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	letter := filepath.Join(t.TempDir(), "letter.mp4")
	if err := os.WriteFile(letter, []byte("no film"), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := call(t.Context(), "add", "--data", dir, "--pitcher", "Kit", drawn.path); code != exitOK {
		t.Fatal(errs)
	}
	for _, her := range []string{"Kit", "Wren"} {
		if code, _, errs := call(t.Context(), "add", "--data", dir, "--pitcher", her, letter); code != exitFailed || !strings.Contains(errs, "letter.mp4") {
			t.Errorf("%s: %d %q", her, code, errs)
		}
	}
	if code, _, errs := call(t.Context(), "add", "--data", dir, "--pitcher", "Sam", drawn.path, letter); code != exitFailed {
		t.Errorf("one of two: %d %q", code, errs)
	}
	d, err := openData(t.Context(), dir, existing)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	pitchers, err := d.store.Pitchers(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]int{}
	for _, p := range pitchers {
		got[p.Label] = p.Bullpens
	}
	if len(got) != 2 || got["Kit"] != 1 || got["Sam"] != 1 {
		t.Errorf("left %v", got)
	}
	cards, _, err := d.store.Bullpens(t.Context(), "", store.Page{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range cards {
		films, err := d.store.Films(t.Context(), c.ID)
		if err != nil || films[0].State != bullpen.FilmReady {
			t.Errorf("%s: %+v, %v", c.PitcherLabel, films, err)
		}
	}
}
