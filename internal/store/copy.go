package store

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"

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
