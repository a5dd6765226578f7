package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"path"
	"sort"
	"time"

	"github.com/jackc/pgx/v5"

	"tenoff/internal/bullpen"
	"tenoff/internal/postgres"
)

// shared is the engine of a PostgreSQL on which several programs work.
type shared struct {
	db   *postgres.Database
	node string // this program's own name among them
}

// OpenPostgres opens the database at an address, see postgres.Open, and brings it to the
// current schema. One from a newer program is refused.
func OpenPostgres(ctx context.Context, address string) (*Store, error) {
	steps, err := postgresSteps()
	if err != nil {
		return nil, err
	}
	return openPostgres(ctx, address, steps)
}

// VisitPostgres opens a database that programs are at work on, as it is: one of another
// schema than this program's is refused, since those who work on it could not go on.
func VisitPostgres(ctx context.Context, address string) (*Store, error) {
	return visitPostgres(ctx, address, func(s *Store) error {
		newest, err := newestPostgres()
		if err != nil {
			return err
		}
		return atNewest(ctx, s.read, newest)
	})
}

// OpenBlankPostgres is OpenPostgres for a database in which nothing is kept yet, see Blank.
// One in which something is, at a wrong address, is refused and stays as it is, so that
// programs of whatever version go on with it.
func OpenBlankPostgres(ctx context.Context, address string) (*Store, error) {
	steps, err := postgresSteps()
	if err != nil {
		return nil, err
	}
	return visitPostgres(ctx, address, func(s *Store) error {
		have, err := postgresSchema(ctx, s.read)
		switch {
		case err != nil:
			return explain(err)
		case have == 0:
			return s.climbPostgres(ctx, steps)
		case have != steps[len(steps)-1].schema:
			return bullpen.Errorf(bullpen.Conflict, "There is something in this database already, of another version of tenoff; name an empty one.")
		}
		return s.Blank(ctx)
	})
}

// openPostgres opens a database at the schema that steps lead to.
func openPostgres(ctx context.Context, address string, steps []postgresStep) (*Store, error) {
	return visitPostgres(ctx, address, func(s *Store) error { return s.climbPostgres(ctx, steps) })
}

// visitPostgres opens a database once ready has made sure of its schema.
func visitPostgres(ctx context.Context, address string, ready func(*Store) error) (_ *Store, err error) {
	db, err := postgres.Open(address)
	if err != nil {
		return nil, err
	}
	s := &Store{engine: shared{db, newID()}, write: db.Write, read: db.Read, now: time.Now}
	defer func() {
		if err != nil {
			err = errors.Join(err, s.Close())
		}
	}()
	if err := ready(s); err != nil {
		return nil, err
	}
	s.first, err = s.firstAcademy(ctx)
	return s, err
}

// PostgresFacts are what a server says of itself.
type PostgresFacts struct {
	Version  string
	Schema   int           // 0 for a new database
	Newest   int           // the schema that this program works with
	Programs int           // how many programs of this kind it has connections for
	Ahead    time.Duration // of this machine's clock
	Lacks    []string      // what it can't do that is needed, with what to do about it
}

// oldest is the first version that has what our schema is made of, as server_version_num says
// it: generated columns, and collations that take two texts for one (Release notes of
// PostgreSQL 12).
const oldest = 120000

// InspectPostgres asks a server what it is, and changes nothing. A server that lets nobody
// in is said to, with what to do about it.
func InspectPostgres(ctx context.Context, address string) (f PostgresFacts, err error) {
	db, err := postgres.Open(address)
	if err != nil {
		return f, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	var most, version int
	var letters string
	var makes, owns bool
	var now int64
	began := time.Now()
	err = db.Read.QueryRowContext(ctx, `SELECT 'PostgreSQL ' || current_setting('server_version'), current_setting('server_version_num')::int, current_setting('server_encoding'),
			current_setting('max_connections')::int - current_setting('superuser_reserved_connections')::int,
			coalesce(has_schema_privilege(current_schema(), 'CREATE'), false),
			coalesce((SELECT bool_and(pg_has_role(relowner, 'USAGE')) FROM pg_class JOIN pg_namespace n ON n.oid = relnamespace WHERE relkind = 'r' AND nspname = current_schema()), true),
			(extract(epoch FROM clock_timestamp()) * 1000000)::bigint`).Scan(&f.Version, &version, &letters, &most, &makes, &owns, &now)
	f.Ahead = time.UnixMicro(now).Sub(began.Add(time.Since(began) / 2))
	if why := postgres.Refusal(err); why != "" {
		return f, &bullpen.Error{Code: bullpen.Unavailable, Message: why, Err: err}
	}
	if err != nil {
		return f, err
	}
	f.Programs = most / postgres.Connections
	if f.Newest, err = newestPostgres(); err != nil {
		return f, err
	}
	if f.Schema, err = postgresSchema(ctx, db.Read); err != nil {
		return f, err
	}
	if version < oldest {
		f.Lacks = append(f.Lacks, "It is too old: tenoff needs PostgreSQL 12 or newer.")
	}
	if letters != "UTF8" {
		f.Lacks = append(f.Lacks, "Its encoding is "+letters+", in which not every name can be written: make the database with `createdb -E UTF8 -T template0`.")
	}
	if !makes || !owns {
		f.Lacks = append(f.Lacks, "This user may not make or change tables in the database: make it the owner of the database and of what is in it.")
	}
	if err := tryToWrite(ctx, db, f.Schema); err != nil {
		f.Lacks = append(f.Lacks, bullpen.MessageOf(err))
		return f, nil
	}
	heard, err := db.Hears(ctx)
	if err != nil {
		f.Lacks = append(f.Lacks, bullpen.MessageOf(err))
	} else if !heard {
		f.Lacks = append(f.Lacks, "What one connection tells (NOTIFY) another does not hear (LISTEN): name the server itself, or a pooler in session mode.")
	}
	return f, nil
}

// tryToWrite writes a row and takes it back, or, where there is no table yet, makes one.
func tryToWrite(ctx context.Context, db *postgres.Database, schema int) (err error) {
	tx, err := db.Write.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, ignoreDone(tx.Rollback())) }()
	if schema == 0 {
		_, err = tx.ExecContext(ctx, `CREATE TABLE trial (n BIGINT)`)
		return err
	}
	_, err = tx.ExecContext(ctx, `UPDATE tenoff_schema SET schema = schema`)
	return err
}

func (e shared) begin(ctx context.Context, tx *sql.Tx, turn string) (int64, error) {
	return postgres.Turn(ctx, tx, turn)
}

func (e shared) clock(ctx context.Context) (now int64, err error) {
	err = e.db.Read.QueryRowContext(ctx, `SELECT (extract(epoch FROM clock_timestamp()) * 1000000)::bigint`).Scan(&now)
	return now, explain(err)
}

// message is what programs tell each other: some of a transaction's changes.
type message struct {
	From    string   `json:"from"`
	Changes []Change `json:"changes"`
}

// longest is how many bytes a message may have: fewer than 8,000 (PostgreSQL 15
// documentation, "NOTIFY").
const longest = 7999

// texts are what is said in place of m, in so many messages as it takes.
func (m message) texts() ([]string, error) {
	if len(m.Changes) == 0 {
		return nil, nil
	}
	text, err := json.Marshal(m)
	if err != nil || len(text) <= longest || len(m.Changes) == 1 {
		return []string{string(text)}, err
	}
	half := len(m.Changes) / 2
	one, err := message{m.From, m.Changes[:half]}.texts()
	if err != nil {
		return nil, err
	}
	other, err := message{m.From, m.Changes[half:]}.texts()
	return append(one, other...), err
}

func (e shared) tell(t *tx) error {
	texts, err := message{e.node, t.changes()}.texts()
	if err != nil {
		return err
	}
	for _, text := range texts {
		if _, err := t.Exec(postgres.Tell, text); err != nil {
			return err
		}
	}
	return nil
}

func (e shared) listen(ctx context.Context, log *slog.Logger, heard func(...Change)) error {
	return e.db.Listen(ctx, log, func(text string) {
		var m message
		if err := json.Unmarshal([]byte(text), &m); err != nil {
			log.WarnContext(ctx, "another program said something that is not understood", "err", err)
			return
		}
		if m.From != e.node {
			heard(m.Changes...)
		}
	}, func(ctx context.Context, since string, c *pgx.Conn) error { return e.missed(ctx, since, c, heard) })
}

// missed looks at everything that may have changed while nobody listened: all bullpens
// whose rows are of transactions since then, jobs, and sessions.
func (e shared) missed(ctx context.Context, since string, c *pgx.Conn, heard func(...Change)) error {
	if since == "" {
		return nil
	}
	rows, err := c.Query(ctx, `SELECT academy_id, id, revision FROM bullpens WHERE age(xmin) <= age($1::text::xid)`, since)
	if err != nil {
		return err
	}
	changes, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (c Change, err error) {
		return c, row.Scan(&c.Academy, &c.BullpenID, &c.Revision)
	})
	if err != nil {
		return err
	}
	heard(append(changes, Change{Jobs: true, Queue: true, Sessions: true})...)
	return nil
}

func (e shared) alone(ctx context.Context, log *slog.Logger, name string, do func(context.Context) error) error {
	return e.db.Alone(ctx, log, name, do)
}

func (shared) passOver(table string) string { return `FOR UPDATE OF ` + table + ` SKIP LOCKED` }

func (shared) ours() bool { return false }

func (e shared) schema(ctx context.Context) (int, error) { return postgresSchema(ctx, e.db.Read) }

// postgresStep brings a database to a schema.
type postgresStep struct {
	schema int
	text   string
}

// postgresSteps returns the migrations in order. The first makes all that SQLite's lead to
// up to its number, each other goes with SQLite's of its number.
func postgresSteps() ([]postgresStep, error) {
	names, err := fs.Glob(migrations, "migrations/postgres/*.sql")
	if err != nil {
		return nil, err
	}
	sort.Strings(names)
	out := make([]postgresStep, len(names))
	for i, name := range names {
		text, err := migrations.ReadFile(name)
		if err != nil {
			return nil, err
		}
		out[i].text = string(text)
		if _, err := fmt.Sscanf(path.Base(name), "%d_", &out[i].schema); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	return out, nil
}

// newestPostgres is the schema that this program works with.
func newestPostgres() (int, error) {
	steps, err := postgresSteps()
	if err != nil {
		return 0, err
	}
	return steps[len(steps)-1].schema, nil
}

// atNewest refuses a database of another schema than the newest.
func atNewest(ctx context.Context, db queryer, newest int) error {
	have, err := postgresSchema(ctx, db)
	switch {
	case err != nil:
		return explain(err)
	case have == 0:
		return bullpen.Errorf(bullpen.NotFound, "There is no tenoff data in this database.")
	case have < newest:
		return bullpen.Errorf(bullpen.Unavailable, "The rows in this database were written by an older tenoff; use that one, or start `tenoff serve` of this version once, which brings them up to date.")
	case have > newest:
		return errNewer
	}
	return nil
}

var errNewer = bullpen.Errorf(bullpen.Unavailable, "The rows in this database were written by a newer tenoff; use that one.")

// postgresSchema returns which schema a database has, 0 for one without any.
func postgresSchema(ctx context.Context, db queryer) (have int, err error) {
	var ours, others int
	err = db.QueryRowContext(ctx, `SELECT count(*) FILTER (WHERE table_name = 'tenoff_schema'), count(*) FILTER (WHERE table_name <> 'tenoff_schema')
		FROM information_schema.tables WHERE table_schema = current_schema()`).Scan(&ours, &others)
	switch {
	case err != nil:
		return 0, err
	case ours == 0 && others > 0:
		return 0, bullpen.Errorf(bullpen.Unavailable, "There is something in this database that is not tenoff's; name an empty one.")
	case ours == 0:
		return 0, nil
	}
	err = db.QueryRowContext(ctx, `SELECT schema FROM tenoff_schema`).Scan(&have)
	return have, err
}

// climbPostgres brings the database to the newest schema, all in one transaction, while no
// other program does.
func (s *Store) climbPostgres(ctx context.Context, steps []postgresStep) error {
	newest := steps[len(steps)-1].schema
	if have, err := postgresSchema(ctx, s.read); err != nil || have == newest {
		return err
	}
	return s.inTurn(ctx, "the schema", func(t *tx) error {
		have, err := postgresSchema(ctx, t)
		if err != nil {
			return err
		}
		if have > newest {
			return errNewer
		}
		for _, step := range steps {
			if step.schema <= have {
				continue
			}
			if _, err := t.Exec(step.text); err != nil {
				return fmt.Errorf("schema step %d: %w", step.schema, err)
			}
		}
		if have == 0 {
			_, err = t.Exec(`CREATE TABLE tenoff_schema (schema BIGINT NOT NULL)`)
			if err == nil {
				_, err = t.Exec(`INSERT INTO tenoff_schema (schema) VALUES (?)`, newest)
			}
			return err
		}
		_, err = t.Exec(`UPDATE tenoff_schema SET schema = ?`, newest)
		return err
	})
}
