package store

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"time"

	"tenoff/internal/bullpen"
)

// CopyTo writes a consistent copy of the database to path, which must not exist,
// while others read and write, and flushes it to the disk.
func (s *Store) CopyTo(ctx context.Context, path string) error {
	return copyDatabase(ctx, s.read, path)
}

func copyDatabase(ctx context.Context, db *sql.DB, path string) error {
	if _, err := db.ExecContext(ctx, `VACUUM INTO ?`, path); err != nil {
		return explain(err)
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Chmod(0o600), f.Sync(), f.Close()); err != nil {
		return err
	}
	dir, err := os.Open(filepath.Dir(path))
	if err != nil {
		return err
	}
	return errors.Join(dir.Sync(), dir.Close())
}

// Closed counts what opened a database to somebody and does no more.
type Closed struct {
	Slips    int // that were open
	Sessions int // that were signed in
}

// CloseAllIn brings a copy of a database that nobody has open to the current schema,
// closes the slips and ends the sessions of all its academies, and flushes it to the
// disk. The slips can be renewed, one by one: a schema of before could not tell them
// from those that were revoked.
func CloseAllIn(ctx context.Context, path string) (c Closed, err error) {
	steps, err := steps()
	if err != nil {
		return c, err
	}
	// No file stays beside the copy: a journal would be left behind by its renaming.
	db, err := pool(path, 1, "_journal_mode=DELETE", "_synchronous=FULL", "_txlock=immediate")
	if err != nil {
		return c, err
	}
	s := &Store{dir: filepath.Dir(path), write: db, now: time.Now}
	defer func() { err = errors.Join(err, s.Close()) }()
	if err := s.migrate(ctx, steps, func(context.Context, int) error { return nil }); err != nil { // what it was copied from is kept
		return c, err
	}
	err = s.tx(ctx, func(t *tx) error {
		err := t.QueryRow(`SELECT (SELECT count(*) FROM slips WHERE closed = 0 AND expires > ?1), (SELECT count(*) FROM sessions WHERE expires > ?1)`, t.now).Scan(&c.Slips, &c.Sessions)
		if err != nil {
			return err
		}
		if _, err := t.Exec(`UPDATE slips SET closed = ?, restored = 1 WHERE closed = 0`, t.now); err != nil {
			return err
		}
		_, err = t.Exec(`DELETE FROM sessions`)
		return err
	})
	return c, err
}

// NamedIn lists the files that a copy of a database names, after having checked
// that the copy is sound and no newer than this program.
func NamedIn(ctx context.Context, path string) ([]File, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, &bullpen.Error{Code: bullpen.NotFound, Message: "There is no " + Database + " in " + filepath.Dir(path) + ".", Err: err}
	}
	// Nobody else has the copy open, and it may lie where nothing can be written.
	db, err := sql.Open("sqlite3", uri(path)+"?mode=ro&immutable=1")
	if err != nil {
		return nil, err
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	var sound string
	if err := db.QueryRowContext(ctx, `PRAGMA quick_check(1)`).Scan(&sound); err != nil || sound != "ok" {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: path + " is damaged; take another backup.", Err: errors.Join(err, errors.New(sound))}
	}
	steps, err := steps()
	if err != nil {
		return nil, err
	}
	if _, err := schemaOf(ctx, db, filepath.Dir(path), len(steps)); err != nil {
		return nil, err
	}
	return namedFiles(ctx, db)
}
