package main

import (
	"os"
	"path/filepath"
	"testing"

	"tenoff/internal/backup"
	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// A backup is not brought up to date while it is brought back; where nothing can be locked it
// is brought back all the same.
func TestABackupIsKeptWhileItIsRead(t *testing.T) {
	dir, copied := t.TempDir(), filepath.Join(t.TempDir(), "copy")
	st, err := store.Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := call(t.Context(), "backup", "--data", dir, copied); code != exitOK {
		t.Fatal(errs)
	}
	back := func() (code int, errs string) {
		code, _, errs = call(t.Context(), "restore", "--data", filepath.Join(t.TempDir(), "back"), copied)
		return code, errs
	}
	letGo, err := holdBackup(copied)
	if err != nil {
		t.Fatal(err)
	}
	if code, errs := back(); code != exitFailed {
		t.Errorf("brought back while it was made: %q", errs)
	}
	letGo()
	if letGo, err = keepBackup(copied); err != nil {
		t.Fatal(err)
	}
	if _, err := holdBackup(copied); bullpen.CodeOf(err) != bullpen.Unavailable {
		t.Errorf("made while it was read: %v", err)
	}
	letGo()
	if err := os.Mkdir(filepath.Join(copied, backup.Lock), 0o700); err != nil { // no file can be locked
		t.Fatal(err)
	}
	if code, errs := back(); code != exitOK {
		t.Errorf("where nothing can be locked: %q", errs)
	}
}
