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

// CloseAllIn closes the slips and ends the sessions of all academies in a copy of a
// database that nobody has open, and flushes it to the disk. The slips can be renewed,
// one by one, where the database can tell them from those that were revoked. It may be
// of an older schema, also from before there were any.
func CloseAllIn(ctx context.Context, path string) (c Closed, err error) {
	// No file stays beside the copy: a journal would be left behind by its renaming.
	db, err := pool(path, 1, "_journal_mode=DELETE", "_synchronous=FULL", "_txlock=immediate")
	if err != nil {
		return c, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	var tables int
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name IN ('slips', 'sessions')`).Scan(&tables); err != nil || tables < 2 {
		return c, explain(err)
	}
	restored := ""
	if err := db.QueryRowContext(ctx, `SELECT iif(count(*), ', restored = 1', '') FROM pragma_table_info('slips') WHERE name = 'restored'`).Scan(&restored); err != nil {
		return c, explain(err)
	}
	sqlTx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return c, explain(err)
	}
	defer func() { err = errors.Join(err, ignoreDone(sqlTx.Rollback())) }()
	t := &tx{Tx: sqlTx, ctx: ctx, now: time.Now().UnixMicro()}
	if err := t.QueryRow(`SELECT count(*) FROM slips WHERE closed = 0 AND expires > ?`, t.now).Scan(&c.Slips); err != nil {
		return c, explain(err)
	}
	if _, err := t.Exec(`UPDATE slips SET closed = ?`+restored+` WHERE closed = 0`, t.now); err != nil {
		return c, explain(err)
	}
	if err := t.QueryRow(`SELECT count(*) FROM sessions WHERE expires > ?`, t.now).Scan(&c.Sessions); err != nil {
		return c, explain(err)
	}
	if _, err := t.Exec(`DELETE FROM sessions`); err != nil {
		return c, explain(err)
	}
	return c, explain(sqlTx.Commit())
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
