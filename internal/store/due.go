package store

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
)

// These are files beside the database that say what Clean has to do. Each is on the
// disk before that which makes it due, and names, by chance, the last time it was.
const (
	deletedMark  = "cleaning-due"  // something was deleted, and is left in free pages and in copies
	migratedMark = "rewriting-due" // an older program's deletions may be left in free pages
)

// debts is what the two files hold, "" where there is none.
type debts struct{ deleted, migrated string }

// due reads what has to be cleaned. What can't be read is due.
func (s *Store) due() debts {
	return debts{s.marked(deletedMark), s.marked(migratedMark)}
}

func (s *Store) marked(name string) string {
	text, err := os.ReadFile(filepath.Join(s.dir, name))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return ""
	case err != nil:
		return err.Error()
	}
	return "due " + string(text)
}

// owe notes, within the transaction, that something is being deleted.
// A database that lies elsewhere clears its own files away.
func (s *Store) owe() error {
	if s.dir == "" {
		return nil
	}
	if err := s.mark(deletedMark); err != nil {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "Nothing can be deleted: the data folder can't be written to. Make room on the disk, or check that tenoff may write there.", Err: err}
	}
	return nil
}

// mark writes one of the files, and waits until it is on the disk. Whoever reads it meanwhile
// finds the last one or this one: two that were read half written would be taken for one, and
// for a moment in which nothing was deleted.
func (s *Store) mark(name string) error {
	path := filepath.Join(s.dir, name)
	next := path + ".new"
	f, err := os.OpenFile(next, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = f.WriteString(newID())
	if err = errors.Join(err, f.Sync(), f.Close()); err == nil {
		err = os.Rename(next, path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(next))
	}
	return disk.Flush(s.dir)
}

// settle removes the files, unless another program has deleted something since they
// were read.
func (s *Store) settle(ctx context.Context, writer *sql.Conn, was debts) error {
	tx, err := writer.BeginTx(ctx, nil) // no other program is in the midst of deleting
	if err != nil {
		return explain(err)
	}
	now := s.due()
	var errs []error
	if now.deleted != "" && now.deleted == was.deleted {
		errs = append(errs, os.Remove(filepath.Join(s.dir, deletedMark)))
	}
	if now.migrated != "" && now.migrated == was.migrated {
		errs = append(errs, os.Remove(filepath.Join(s.dir, migratedMark)))
	}
	return errors.Join(append(errs, tx.Rollback())...)
}
