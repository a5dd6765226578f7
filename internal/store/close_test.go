package store

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// What is under way when a store is closed has ended when Close has: nothing is written
// into its folder afterwards, and the database is one file.
func TestCloseAwaitsWhatIsUnderWay(t *testing.T) {
	dir := t.TempDir()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	pen(t, s, "Wren", "2026-03-01")
	tx, err := s.write.Begin()
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	time.AfterFunc(50*time.Millisecond, func() { ended <- tx.Rollback() })
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(dir, Database+"-wal")); !os.IsNotExist(err) {
		t.Errorf("the writer's log is still there: %v", err)
	}
	if err := <-ended; err != nil {
		t.Error(err)
	}
}
