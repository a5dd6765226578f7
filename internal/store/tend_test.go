package store

import (
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

// tended runs do over a store that is tended, by a clock that only moves while everybody
// waits.
func tended(t *testing.T, do func(t *testing.T, s *Store)) {
	t.Helper()
	tendedWith(t, slog.New(slog.DiscardHandler), do)
}

// tendedWith does it with a log of what went wrong.
func tendedWith(t *testing.T, log *slog.Logger, do func(t *testing.T, s *Store)) {
	t.Helper()
	dir := t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		s, err := OpenScratch(t.Context(), dir)
		if err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Tend(ctx, log) }()
		synctest.Wait() // it has looked for what was left
		do(t, s)
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
}

// rewritten is a number that grows by one with each VACUUM: the schema cookie ("The
// SQLite database file format", 1.3.9, and the documentation of PRAGMA schema_version).
func rewritten(t *testing.T, s *Store) (n int) {
	t.Helper()
	if err := s.read.QueryRow(`PRAGMA schema_version`).Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

// Several deletions soon one after the other are cleaned up after once, when they are
// over, and then nothing of anybody is left.
func TestDeletionsAreCleanedUpTogether(t *testing.T) {
	tended(t, func(t *testing.T, s *Store) {
		var hers []string
		for range 3 {
			hers = append(hers, pen(t, s, herName, "2026-04-11").PitcherID)
		}
		before := rewritten(t, s)
		for _, id := range hers {
			if _, err := s.RemovePitcher(t.Context(), id, 0, Whatever); err != nil {
				t.Fatal(err)
			}
			time.Sleep(700 * time.Millisecond)
			if s.due() == (debts{}) {
				t.Error("cleaned while others were still being deleted")
			}
		}
		time.Sleep(3 * time.Second)
		if got := holding(t, s.dir, herName); len(got) > 0 || s.due() != (debts{}) {
			t.Errorf("three seconds later, left in %v; due: %+v", got, s.due())
		}
		if n := rewritten(t, s) - before; n != 1 {
			t.Errorf("the database was rewritten %d times", n)
		}
		time.Sleep(3 * pruning)
		if n := rewritten(t, s) - before; n != 1 {
			t.Errorf("the database was rewritten %d times, and nothing was deleted", n-1)
		}
	})
}

// lines counts the lines of a log.
type lines struct{ atomic.Int32 }

func (l *lines) Write(line []byte) (int, error) {
	l.Add(1)
	return len(line), nil
}

// Deletions that don't stop are cleaned up after all the same.
func TestCleaningDoesNotWaitForEver(t *testing.T) {
	var log lines
	tendedWith(t, slog.New(slog.NewTextHandler(&log, nil)), func(t *testing.T, s *Store) {
		var hers []string
		for range 60 {
			hers = append(hers, pen(t, s, herName, "2026-04-11").PitcherID)
		}
		before := rewritten(t, s)
		for _, id := range hers {
			if _, err := s.RemovePitcher(t.Context(), id, 0, Whatever); err != nil {
				t.Fatal(err)
			}
			time.Sleep(500 * time.Millisecond)
		}
		// A machine that is busy may still read as the log is to be emptied: that is tried again.
		again := int(log.Load())
		if n := rewritten(t, s) - before; n < 2 || n > 3+again {
			t.Errorf("rewritten %d times in half a minute of deletions, %d of them in vain", n, again)
		}
	})
}

// What failed is tried again.
func TestFailedCleaningIsTriedAgain(t *testing.T) {
	tended(t, func(t *testing.T, s *Store) {
		her := pen(t, s, herName, "2026-04-11")
		inTheWay := filepath.Join(s.dir, "before-schema-9.db") // a folder with something in it can't be removed
		if err := os.MkdirAll(filepath.Join(inTheWay, "x"), 0o700); err != nil {
			t.Fatal(err)
		}
		if _, err := s.RemovePitcher(t.Context(), her.PitcherID, 0, Whatever); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Hour)
		if s.due() == (debts{}) {
			t.Fatal("nothing is due: this test shows nothing")
		}
		if err := os.RemoveAll(inTheWay); err != nil {
			t.Fatal(err)
		}
		time.Sleep(slowDown + time.Second)
		if got := holding(t, s.dir, herName); len(got) > 0 || s.due() != (debts{}) {
			t.Errorf("left in %v; due: %+v", got, s.due())
		}
	})
}

// What another program deletes while this one cleans stays due.
func TestAnothersDeletionStaysDue(t *testing.T) {
	dir := t.TempDir()
	s, other := again(t, dir), again(t, dir)
	her, next := pen(t, s, herName, "2026-04-11"), pen(t, s, herName, "2026-04-12")
	if _, err := s.RemovePitcher(t.Context(), her.PitcherID, 0, Whatever); err != nil {
		t.Fatal(err)
	}
	was := s.due()
	if _, err := other.RemovePitcher(t.Context(), next.PitcherID, 0, Whatever); err != nil {
		t.Fatal(err)
	}
	writer, err := s.write.Conn(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if err := s.settle(t.Context(), writer, was); err != nil {
		t.Error(err)
	}
	if err := writer.Close(); err != nil {
		t.Fatal(err)
	}
	if s.due() == (debts{}) {
		t.Error("the other's deletion is forgotten")
	}
	if err := s.Clean(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got := holding(t, dir, herName); len(got) > 0 || s.due() != (debts{}) {
		t.Errorf("left in %v; due: %+v", got, s.due())
	}
}
