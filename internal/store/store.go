// Package store keeps everything but the files in one database: pitchers, bullpens,
// films, reps, proposals, clips, jobs. By default that is an SQLite file in the data
// folder, which one connection writes and a pool of connections reads; an academy's
// several machines share a PostgreSQL. Statements are the same for both, see engine.
//
// What a method returned without an error is on the disk. Every update names the version its caller saw;
// if somebody else was faster it is refused with bullpen.Conflict.
package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"time"

	"tenoff/internal/bullpen"
)

// Database is the database's name in the data folder.
const Database = "tenoff.db"

// Store is the rows of one data folder, or of a database that several programs share. Its
// methods may be used by several goroutines.
type Store struct {
	engine engine
	dir    string // where the database's own file lies, "" where the rows are elsewhere
	write  *sql.DB
	read   *sql.DB
	first  string // the academy that was there first
	hub    hub
	kept   keptReps
	now    func() time.Time
	skew   atomic.Int64 // how far the database's clock is ahead of this machine's, microseconds
}

// Open opens the database in dir and brings it to the current schema; a copy of
// it as it was is kept beside it before each step. A database from a newer
// program is refused.
func Open(ctx context.Context, dir string) (*Store, error) {
	steps, err := steps()
	if err != nil {
		return nil, err
	}
	return open(ctx, dir, steps, durable, time.Now)
}

// durable is how the writer waits for the disk (PRAGMA synchronous), so that what was
// acknowledged survives a power cut.
const durable = "FULL"

// open opens the database in dir at the schema that steps lead to; wait is how its
// writer waits for the disk.
func open(ctx context.Context, dir string, steps []string, wait string, now func() time.Time) (_ *Store, err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	path := filepath.Join(dir, Database)
	if err := ownersOnly(path); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The database in " + dir + " can't be opened; check that you may write there.", Err: err}
	}
	s := onFile(dir, now)
	defer func() {
		if err != nil {
			err = errors.Join(err, s.Close())
		}
	}()
	if s.write, err = writer(path, wait); err != nil {
		return nil, err
	}
	if err := s.migrate(ctx, steps, s.keep); err != nil {
		return nil, err
	}
	if s.first, err = s.firstAcademy(ctx); err != nil {
		return nil, err
	}
	if s.read, err = pool(path, readers, "mode=ro", "_cache_size=-4000"); err != nil {
		return s, err
	}
	s.read.SetMaxIdleConns(idleReaders)
	return s, nil
}

// readers is how many connections read at once, idleReaders how many are held when few
// do: each has pages of its own in memory, which no limit of Go's knows of. What they
// let go of is still in the system's cache of the file.
const (
	readers     = 8
	idleReaders = 2
)

// writer opens the one connection that writes.
func writer(path, wait string) (*sql.DB, error) {
	return pool(path, 1, "_journal_mode=WAL", "_synchronous="+wait, "_txlock=immediate", "_secure_delete=on", "_cache_size=-16000")
}

// ownersOnly sees to it that nobody but its owner can read the database, whoever
// may look into the folder. SQLite gives the files beside it the same rights.
func ownersOnly(path string) error {
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		// Not through an open file: closing it would let go of SQLite's locks.
		return os.Chmod(path, 0o600)
	}
	if err != nil {
		return err
	}
	return file.Close()
}

// pool opens a pool of connections, each with the same settings: a PRAGMA sent
// through a pool would reach one of them only. Each keeps the statements that it used last:
// to read their text anew took a fifth of the time of a short answer.
func pool(path string, size int, settings ...string) (*sql.DB, error) {
	settings = append(settings, "_busy_timeout=5000", "_foreign_keys=on", "_stmt_cache_size=64")
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

// Close ends all connections, the writer's last, which leaves one whole file behind.
func (s *Store) Close() error {
	var errs []error
	for _, db := range []*sql.DB{s.read, s.write} {
		if db != nil {
			errs = append(errs, db.Close())
			awaitClosed(db)
		}
	}
	return errors.Join(errs...)
}

// awaitClosed waits until a closed pool's last connection has ended: one in use is not
// waited for by Close, and a transaction whose context was cancelled gives its own back
// only later, when this folder may already be another program's.
func awaitClosed(db *sql.DB) {
	for range 1000 {
		if db.Stats().OpenConnections == 0 {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// Now says what time it is, microseconds UTC, by the clock that all programs on the
// database have in common: what runs out does so for all of them at once. It is as the last
// writing transaction heard it, and as this machine's clock has run since.
func (s *Store) Now() int64 { return s.now().UnixMicro() + s.skew.Load() }

// Today is the day by Now and by this program's time zone, YYYY-MM-DD.
func (s *Store) Today() string { return time.UnixMicro(s.Now()).Format(time.DateOnly) }

// Ping says whether the database answers.
func (s *Store) Ping(ctx context.Context) error { return s.read.PingContext(ctx) }

// Waits are what a pool of connections was asked for.
type Waits struct {
	Pool       string // "read" or "write"
	Open, Used int    // connections
	Count      int64  // how often somebody had to wait for one
	Took       time.Duration
}

// Waits tells how long the store's callers waited for connections, since it was opened.
func (s *Store) Waits() []Waits {
	var out []Waits
	for name, db := range map[string]*sql.DB{"read": s.read, "write": s.write} {
		of := db.Stats()
		out = append(out, Waits{name, of.OpenConnections, of.InUse, of.WaitCount, of.WaitDuration})
	}
	return out
}

func (s *Store) firstAcademy(ctx context.Context) (id string, err error) {
	err = s.tx(ctx, func(tx *tx) error { // in the turn of no academy
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
