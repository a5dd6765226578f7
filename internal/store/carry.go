package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"tenoff/internal/bullpen"
)

// carried is a table and what is carried of it between a database file and a PostgreSQL:
// every column but those that are made of others.
type carried struct {
	table   string
	columns []string
	texts   []bool // which of them hold text, JSON too
}

// list is its columns between commas, in quotes; a text is read as one, whatever kind of
// text it is.
func (c carried) list(asText bool) string {
	var out []string
	for i, name := range c.columns {
		name = `"` + name + `"`
		if asText && c.texts[i] {
			name = `CAST(` + name + ` AS TEXT)`
		}
		out = append(out, name)
	}
	return strings.Join(out, ", ")
}

// all reads everything that is carried of the table.
func (c carried) all() string { return `SELECT ` + c.list(true) + ` FROM ` + c.table }

// carriedOf lists the tables of a database file, each behind those that it refers to.
func carriedOf(ctx context.Context, file queryer) ([]carried, error) {
	type column struct {
		table, name string
		text        bool
	}
	columns, err := all(ctx, file, func(row scanner) (c column, err error) { return c, row.Scan(&c.table, &c.name, &c.text) },
		`SELECT l.name, c.name, c.type = 'TEXT' FROM pragma_table_list l JOIN pragma_table_xinfo(l.name) c
			WHERE l.schema = 'main' AND l.type = 'table' AND l.name NOT LIKE 'sqlite_%' AND c.hidden = 0 ORDER BY l.name, c.cid`)
	if err != nil {
		return nil, err
	}
	refers, err := all(ctx, file, func(row scanner) (r [2]string, err error) { return r, row.Scan(&r[0], &r[1]) },
		`SELECT l.name, f."table" FROM pragma_table_list l JOIN pragma_foreign_key_list(l.name) f WHERE l.schema = 'main' AND l.type = 'table'`)
	if err != nil {
		return nil, err
	}
	var waiting, out []carried
	for _, c := range columns {
		if len(waiting) == 0 || waiting[len(waiting)-1].table != c.table {
			waiting = append(waiting, carried{table: c.table})
		}
		last := &waiting[len(waiting)-1]
		last.columns, last.texts = append(last.columns, c.name), append(last.texts, c.text)
	}
	for len(waiting) > 0 {
		free := slices.IndexFunc(waiting, func(c carried) bool {
			return !slices.ContainsFunc(refers, func(r [2]string) bool {
				return r[0] == c.table && slices.ContainsFunc(waiting, func(o carried) bool { return o.table == r[1] })
			})
		})
		if free < 0 {
			return nil, fmt.Errorf("tables that refer to each other in a ring: %+v", waiting)
		}
		out = append(out, waiting[free])
		waiting = slices.Delete(waiting, free, free+1)
	}
	return out, nil
}

// count says how many rows a table has.
func (c carried) count(ctx context.Context, db queryer) (n int64, err error) {
	return n, explain(db.QueryRowContext(ctx, `SELECT count(*) FROM `+c.table).Scan(&n))
}

// errLost is a table that has other rows than it was given.
func (c carried) errLost(came, went int64) error {
	return bullpen.Errorf(bullpen.Unavailable, "Of %d rows of %s %d arrived, so nothing was kept; try again.", came, c.table, went)
}

// copyTo carries the rows, as they are at one moment, to a new database file.
func (e shared) copyTo(ctx context.Context, path string) (err error) {
	newest, err := newestPostgres()
	if err != nil {
		return err
	}
	file, err := blankFile(ctx, path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close(), flushCopy(path)) }()
	rows, err := e.db.Read.BeginTx(ctx, &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true})
	if err != nil {
		return explain(err)
	}
	defer func() { err = errors.Join(err, ignoreDone(rows.Rollback())) }()
	if err := atNewest(ctx, rows, newest); err != nil {
		return err
	}
	return file.tx(ctx, func(t *tx) error {
		tables, err := carriedOf(ctx, t)
		if err != nil {
			return err
		}
		return t.untriggered(func() error {
			for _, c := range tables {
				if err := c.copy(t, rows); err != nil {
					return err
				}
			}
			return nil
		})
	})
}

// blankFile makes a database file with nothing in it but the newest schema.
func blankFile(ctx context.Context, path string) (_ *Store, err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	if err := f.Close(); err != nil {
		return nil, err
	}
	s, err := openCopy(path)
	if err != nil {
		return nil, err
	}
	steps, err := steps()
	if err == nil {
		err = s.migrate(ctx, steps, nil)
	}
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// untriggered does something while the triggers of a database file are off: what is carried
// over is changed by nothing.
func (t *tx) untriggered(do func() error) error {
	triggers, err := all(t.ctx, t, func(row scanner) (r [2]string, err error) { return r, row.Scan(&r[0], &r[1]) }, `SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'`)
	if err != nil {
		return err
	}
	for _, trigger := range triggers {
		if _, err := t.Exec(`DROP TRIGGER ` + trigger[0]); err != nil {
			return err
		}
	}
	if err := do(); err != nil {
		return err
	}
	for _, trigger := range triggers {
		if _, err := t.Exec(trigger[1]); err != nil {
			return err
		}
	}
	return nil
}

// copy carries the table's rows to the file that t changes.
func (c carried) copy(t *tx, from queryer) error {
	rows, err := from.QueryContext(t.ctx, c.all())
	if err != nil {
		return explain(err)
	}
	defer rows.Close()
	places, _ := listed(c.columns)
	put, err := t.PrepareContext(t.ctx, `INSERT INTO `+c.table+` (`+c.list(false)+`) VALUES (`+places+`)`)
	if err != nil {
		return err
	}
	defer put.Close()
	var came int64
	row := newRow(c)
	for ; rows.Next(); came++ {
		if err := rows.Scan(row.into...); err != nil {
			return err
		}
		if _, err := put.ExecContext(t.ctx, row.values...); err != nil {
			return err
		}
	}
	if err := rows.Err(); err != nil {
		return explain(err)
	}
	there, err := c.count(t.ctx, t)
	if err == nil && there != came {
		err = c.errLost(came, there)
	}
	return err
}

// row is one row of a table, whatever kinds of values it has.
type row struct {
	of     carried
	values []any
	into   []any // places of values
}

func newRow(of carried) *row {
	r := &row{of: of, values: make([]any, len(of.columns)), into: make([]any, len(of.columns))}
	for i := range r.values {
		r.into[i] = &r.values[i]
	}
	return r
}

// Fill carries the rows of a copy of a database, of the newest schema and that nobody has
// open, into a PostgreSQL in which nothing was kept yet and on which no other program is at
// work; or none of them. replaced is in how many texts PostgreSQL could not keep a
// character, in whose place U+FFFD stands now.
func (s *Store) Fill(ctx context.Context, path string) (replaced int, err error) {
	e, is := s.engine.(shared)
	if !is {
		return 0, errors.New("only a PostgreSQL is filled; a data folder takes the file as it is")
	}
	file, err := sql.Open("sqlite3", uri(path)+"?mode=ro&immutable=1")
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	tables, err := carriedOf(ctx, file)
	if err != nil {
		return 0, err
	}
	err = e.db.Once(ctx, func(tx pgx.Tx) error {
		// Who wants to begin on the database meanwhile waits, and finds it filled.
		for _, statement := range []string{`SET LOCAL idle_in_transaction_session_timeout = 0`, `LOCK TABLE academies IN ACCESS EXCLUSIVE MODE`} {
			if _, err := tx.Exec(ctx, statement); err != nil {
				return err
			}
		}
		if err := e.blank(ctx, tx, tables); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `DELETE FROM academies`); err != nil {
			return err
		}
		for _, c := range tables {
			n, err := c.fill(ctx, tx, file)
			if err != nil {
				return err
			}
			replaced += n
		}
		return nil
	})
	return replaced, err
}

// Blank refuses a PostgreSQL in which something is kept, or on which another program is at
// work.
func (s *Store) Blank(ctx context.Context) error {
	e, is := s.engine.(shared)
	if !is {
		return errors.New("only a PostgreSQL is filled")
	}
	names, err := all(ctx, s.read, text, `SELECT table_name FROM information_schema.tables WHERE table_schema = current_schema() AND table_name <> 'tenoff_schema'`)
	if err != nil {
		return err
	}
	var tables []carried
	for _, name := range names {
		tables = append(tables, carried{table: name})
	}
	return e.db.Once(ctx, func(tx pgx.Tx) error { return e.blank(ctx, tx, tables) })
}

// blank refuses tables with rows; that there is an academy, whose they would be, is nothing.
func (e shared) blank(ctx context.Context, tx pgx.Tx, tables []carried) error {
	for _, c := range tables {
		var has bool
		err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT 1 FROM `+c.table+`)`).Scan(&has)
		if err != nil {
			return err
		}
		if has && c.table != "academies" {
			return bullpen.Errorf(bullpen.Conflict, "There is something in this database already, for instance in %s; name an empty one.", c.table)
		}
	}
	others, err := e.db.Others(ctx, tx)
	if err == nil && others > 0 {
		err = bullpen.Errorf(bullpen.Conflict, "Another tenoff works on this database; stop all of them first.")
	}
	return err
}

// fill carries the table's rows from a file.
func (c carried) fill(ctx context.Context, tx pgx.Tx, file queryer) (replaced int, err error) {
	if _, err := tx.Exec(ctx, `ALTER TABLE `+c.table+` DISABLE TRIGGER USER`); err != nil {
		return 0, err
	}
	rows, err := file.QueryContext(ctx, c.all())
	if err != nil {
		return 0, explain(err)
	}
	defer rows.Close()
	from := &fromFile{Rows: rows, row: newRow(c)}
	went, err := tx.CopyFrom(ctx, pgx.Identifier{c.table}, c.columns, from)
	if err != nil {
		return 0, alike(err)
	}
	came, err := c.count(ctx, file)
	if err == nil && came != went {
		err = c.errLost(came, went)
	}
	if err != nil {
		return 0, err
	}
	for _, statement := range []string{`ALTER TABLE ` + c.table + ` ENABLE TRIGGER USER`, `ANALYZE ` + c.table} {
		if _, err := tx.Exec(ctx, statement); err != nil {
			return 0, err
		}
	}
	return from.replaced, nil
}

// fromFile gives the rows of a file to a PostgreSQL.
type fromFile struct {
	*sql.Rows
	row      *row
	replaced int
}

// Values implements pgx.CopyFromSource.
func (f *fromFile) Values() ([]any, error) {
	if err := f.Scan(f.row.into...); err != nil {
		return nil, err
	}
	for i, v := range f.row.values {
		if text, is := v.(string); is {
			if can := storable(text); can != text {
				f.row.values[i] = can
				f.replaced++
			}
		}
	}
	return f.row.values, nil
}

// storable is a text as PostgreSQL takes it: of letters of UTF-8 ("24.3. Character Set
// Support") without the character zero, which JSON may not name either where a statement
// looks into it ("8.14. JSON Types"). An SQLite keeps whatever it is given, and did before
// such texts were refused at the door.
func storable(text string) string {
	const instead = "\uFFFD"
	if !utf8.ValidString(text) || strings.ContainsRune(text, 0) {
		text = strings.ReplaceAll(strings.ToValidUTF8(text, instead), "\x00", instead)
	}
	const zero = `\u0000`
	if !strings.HasPrefix(text, "{") && !strings.HasPrefix(text, "[") || !strings.Contains(text, zero) {
		return text
	}
	var out strings.Builder
	for rest := text; rest != ""; {
		n := 1
		switch {
		case strings.HasPrefix(rest, zero):
			out.WriteString(instead)
			rest = rest[len(zero):]
			continue
		case rest[0] == '\\' && len(rest) > 1: // a backslash that stands for itself has a second one
			n = 2
		}
		out.WriteString(rest[:n])
		rest = rest[n:]
	}
	return out.String()
}

// alike says what can't be carried because PostgreSQL takes two names for one that SQLite
// tells apart: it knows the capitals of all letters, SQLite those of A to Z.
func alike(err error) error {
	var said *pgconn.PgError
	if !errors.As(err, &said) || said.Code != "23505" {
		return err
	}
	who, is := map[string]string{"drills_by_name": "drills", "accounts_by_name": "instructors"}[said.ConstraintName]
	if !is {
		return err
	}
	return &bullpen.Error{Code: bullpen.Conflict, Message: "Two " + who + " have names that differ by capital letters only, which is one name in PostgreSQL; rename one of them where the backup comes from, and make it anew.", Err: err}
}

// FirstIn returns the ID of the first academy in a copy of a database that nobody has open,
// see First.
func FirstIn(ctx context.Context, path string) (id string, err error) {
	file, err := sql.Open("sqlite3", uri(path)+"?mode=ro&immutable=1")
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	return id, explain(file.QueryRowContext(ctx, `SELECT id FROM academies ORDER BY created, id LIMIT 1`).Scan(&id))
}
