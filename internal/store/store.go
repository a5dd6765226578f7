// Package store keeps everything but the files in one SQLite database: pitchers,
// bullpens, films, reps, proposals, clips, jobs.
//
// One connection writes; a pool of connections reads. What a method returned
// without an error is on the disk. Every update names the version its caller saw;
// if somebody else was faster it is refused with bullpen.Conflict.
package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/mattn/go-sqlite3"

	"tenoff/internal/bullpen"
)

// Database is the database's name in the data folder.
const Database = "tenoff.db"

// Store is the database of one data folder. Its methods may be used by several
// goroutines.
type Store struct {
	dir     string
	write   *sql.DB // one connection
	read    *sql.DB
	academy string
	hub     hub
	now     func() time.Time
}

// Open opens the database in dir and brings it to the current schema; a copy of
// it as it was is kept beside it before each step. A database from a newer
// program is refused.
func Open(ctx context.Context, dir string) (*Store, error) {
	steps, err := steps()
	if err != nil {
		return nil, err
	}
	return open(ctx, dir, steps, time.Now)
}

// open opens the database in dir at the schema that steps lead to.
func open(ctx context.Context, dir string, steps []string, now func() time.Time) (_ *Store, err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	path := filepath.Join(dir, Database)
	s := &Store{dir: dir, now: now}
	defer func() {
		if err != nil {
			err = errors.Join(err, s.Close())
		}
	}()
	if s.write, err = pool(path, 1, "_journal_mode=WAL", "_synchronous=FULL", "_txlock=immediate"); err != nil {
		return nil, err
	}
	if err := s.migrate(ctx, steps); err != nil {
		return nil, err
	}
	if s.academy, err = s.ownAcademy(ctx); err != nil {
		return nil, err
	}
	s.read, err = pool(path, readers, "mode=ro")
	return s, err
}

// readers is how many connections read at once.
const readers = 8

// pool opens a pool of connections, each with the same settings: a PRAGMA sent
// through a pool would reach one of them only.
func pool(path string, size int, settings ...string) (*sql.DB, error) {
	settings = append(settings, "_busy_timeout=5000", "_foreign_keys=on", "_cache_size=-16000")
	db, err := sql.Open("sqlite3", uri(path)+"?"+strings.Join(settings, "&"))
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(size)
	db.SetMaxIdleConns(size)
	return db, nil
}

// uri names a database file as SQLite reads it, whatever letters the path has.
func uri(path string) string { return "file:" + (&url.URL{Path: path}).EscapedPath() }

// Close ends all connections.
func (s *Store) Close() error {
	var errs []error
	for _, db := range []*sql.DB{s.read, s.write} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}

// Ping says whether the database answers.
func (s *Store) Ping(ctx context.Context) error { return s.read.PingContext(ctx) }

func (s *Store) ownAcademy(ctx context.Context) (id string, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		err := tx.QueryRow(`SELECT id FROM academies ORDER BY created, id LIMIT 1`).Scan(&id)
		if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		id = newID()
		_, err = tx.Exec(`INSERT INTO academies (id, created) VALUES (?, ?)`, id, tx.now)
		return err
	})
	return id, err
}

// newID returns a random name of 130 bits.
func newID() string { return strings.ToLower(rand.Text()) }

// tx is one writing transaction with one fixed "now", in microseconds UTC.
type tx struct {
	*sql.Tx
	ctx     context.Context
	academy string
	now     int64
	changed map[string]int64 // bullpens whose revision rose, and to what
	jobs    bool             // a job changed
	queue   bool             // there may be a job to take or to stop
}

// tx runs do in one writing transaction; what changed is told after the commit.
func (s *Store) tx(ctx context.Context, do func(*tx) error) error {
	sqlTx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return explain(err)
	}
	t := &tx{Tx: sqlTx, ctx: ctx, academy: s.academy, now: s.now().UnixMicro(), changed: map[string]int64{}}
	if err := do(t); err != nil {
		return errors.Join(explain(err), ignoreDone(sqlTx.Rollback()))
	}
	if err := sqlTx.Commit(); err != nil {
		return explain(err)
	}
	s.hub.tell(t)
	return nil
}

func ignoreDone(err error) error {
	if errors.Is(err, sql.ErrTxDone) {
		return nil
	}
	return err
}

// touch raises a bullpen's revision and counts its reps anew.
func (t *tx) touch(bullpenID string) (revision int64, err error) {
	if bullpenID == "" {
		return 0, nil
	}
	err = t.QueryRow(`UPDATE bullpens SET revision = revision + 1, (reps, readings, warm_ups) =
			(SELECT count(*), count(reading), coalesce(sum(warm_up), 0) FROM reps WHERE bullpen_id = bullpens.id AND deleted = 0)
		WHERE id = ? RETURNING revision`, bullpenID).Scan(&revision)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, notFound("bullpen")
	}
	t.changed[bullpenID] = revision
	return revision, err
}

// explain turns a busy or full database into words. Busy is never "not found".
func explain(err error) error {
	var e sqlite3.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code {
	case sqlite3.ErrBusy, sqlite3.ErrLocked:
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder is busy; try again in a moment.", Err: err}
	case sqlite3.ErrFull:
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The disk is full; make room and try again. Nothing was changed.", Err: err}
	}
	return err
}

func notFound(what string) error {
	return bullpen.Errorf(bullpen.NotFound, "There is no such %s.", what)
}

func stale(what string) error {
	return bullpen.Errorf(bullpen.Conflict, "This %s was changed in another window; look at it as it is now and try again.", what)
}

// one turns a missing row into NotFound.
func one(err error, what string) error {
	if errors.Is(err, sql.ErrNoRows) {
		return notFound(what)
	}
	return explain(err)
}

// hit turns an UPDATE that met no row into NotFound.
func hit(res sql.Result, err error, what string) error {
	if err != nil {
		return err
	}
	n, err := res.RowsAffected()
	if err == nil && n == 0 {
		err = notFound(what)
	}
	return err
}

// queryer is a pool or a transaction.
type queryer interface {
	QueryContext(context.Context, string, ...any) (*sql.Rows, error)
	QueryRowContext(context.Context, string, ...any) *sql.Row
}

// scanner is one row.
type scanner interface{ Scan(...any) error }

// all reads every row of a query.
func all[T any](ctx context.Context, db queryer, scan func(scanner) (T, error), query string, args ...any) ([]T, error) {
	rows, err := db.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, explain(err)
	}
	defer rows.Close()
	var out []T
	for rows.Next() {
		v, err := scan(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, explain(rows.Err())
}

// update runs an UPDATE ... WHERE id = ? AND version = ? and tells a stale
// version from a missing row.
func (t *tx) update(what, table, id string, version int64, set string, args ...any) error {
	args = append(args, id, version, t.academy)
	res, err := t.Exec(fmt.Sprintf(`UPDATE %s SET version = version + 1, %s WHERE id = ? AND version = ? AND academy_id = ?`, table, set), args...)
	if err != nil {
		return err
	}
	if n, err := res.RowsAffected(); err != nil || n == 1 {
		return err
	}
	var exists int
	if err := t.QueryRow(fmt.Sprintf(`SELECT count(*) FROM %s WHERE id = ? AND academy_id = ?`, table), id, t.academy).Scan(&exists); err != nil {
		return err
	}
	if exists == 0 {
		return notFound(what)
	}
	return stale(what)
}
