package store

import (
	"context"
	"database/sql"
	"log/slog"
	"time"
)

// engine is what differs between the databases that rows are kept in. Everything else is
// said in the SQL that both know. Three things that SQLite alone understands may stand in
// a statement, and are said otherwise to the other: places without a number, INDEXED BY,
// and CROSS JOIN with a condition, which keeps the order of the tables.
type engine interface {
	// begin begins a writing transaction: it waits until no other has that turn, and says
	// what time it is, microseconds UTC, by the clock that all programs on the database
	// have in common.
	begin(ctx context.Context, tx *sql.Tx, turn string) (now int64, err error)
	// clock says what time it is by that same clock, outside of a transaction.
	clock(ctx context.Context) (now int64, err error)
	// tell has other programs told of a transaction's changes when it is committed.
	tell(t *tx) error
	// listen calls heard with what other programs changed until ctx ends.
	listen(ctx context.Context, log *slog.Logger, heard func(...Change)) error
	// alone runs do on one of the programs on this database at a time, until ctx ends or
	// do does; its context ends when that may no longer be this one.
	alone(ctx context.Context, log *slog.Logger, name string, do func(context.Context) error) error
	// passOver is the end of a subquery on table that leaves out rows which another
	// transaction is changing.
	passOver(table string) string
	// ours reports whether no other program may be at work on the database.
	ours() bool
	schema(ctx context.Context) (int, error)
	// copyTo writes a consistent copy of all rows to a new database file at path, and flushes
	// it to the disk.
	copyTo(ctx context.Context, path string) error
}

// sqlite is the engine of a database file in a data folder, on which one program works.
type sqlite struct{ s *Store }

// onFile is a store without connections yet, of a database file in dir.
func onFile(dir string, now func() time.Time) *Store {
	s := &Store{dir: dir, now: now}
	s.engine = sqlite{s}
	return s
}

// begin has waited already: there is one connection that writes, and it began at once.
func (e sqlite) begin(context.Context, *sql.Tx, string) (int64, error) {
	return e.s.now().UnixMicro(), nil
}

func (e sqlite) clock(context.Context) (int64, error) { return e.s.now().UnixMicro(), nil }

func (sqlite) tell(*tx) error { return nil }

func (sqlite) listen(ctx context.Context, _ *slog.Logger, _ func(...Change)) error {
	<-ctx.Done()
	return nil
}

func (sqlite) alone(ctx context.Context, _ *slog.Logger, _ string, do func(context.Context) error) error {
	return do(ctx)
}

func (sqlite) passOver(string) string { return "" }

func (sqlite) ours() bool { return true }

func (e sqlite) copyTo(ctx context.Context, path string) error {
	return copyDatabase(ctx, e.s.read, path)
}

func (e sqlite) schema(ctx context.Context) (n int, err error) {
	err = e.s.read.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&n)
	return n, explain(err)
}

// Listen passes on what other programs on the same database change, to those who Watch,
// until ctx ends.
func (s *Store) Listen(ctx context.Context, log *slog.Logger) error {
	return s.engine.listen(ctx, log, s.hub.tell)
}

// Alone runs do on one of the programs on the same database at a time: on this one as soon
// as no other does, until ctx ends or do does. do's context ends too when this program can't
// be sure any more of being the one; do is run again later then.
func (s *Store) Alone(ctx context.Context, log *slog.Logger, name string, do func(context.Context) error) error {
	return s.engine.alone(ctx, log, name, do)
}

// Ours reports whether this is the only program that may be at work on the database.
func (s *Store) Ours() bool { return s.engine.ours() }

// clock says what time it is, microseconds UTC, by the clock that all programs on the
// database have in common.
func (s *Store) clock(ctx context.Context) (int64, error) { return s.engine.clock(ctx) }

// Schema returns the number of the schema that the database has.
func (s *Store) Schema(ctx context.Context) (int, error) { return s.engine.schema(ctx) }
