// Package postgres is how tenoff speaks to a PostgreSQL that several of its programs
// share: statements as SQLite understands them, errors in words, what others changed, and
// who of them is the one that does a thing.
package postgres

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"net"
	"net/url"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/stdlib"

	"tenoff/internal/bullpen"
)

// writers and readers are how many connections a program has at most, besides the two
// that listen and lead: a server lets 100 in unless it is told otherwise.
const (
	writers = 4
	readers = 6

	// Connections is how many a program has in all at most.
	Connections = writers + readers + 2
)

// Database is a database on a server.
type Database struct {
	config *pgx.ConnConfig
	name   string  // of this program among those on the server
	Write  *sql.DB // READ COMMITTED
	Read   *sql.DB // refuses to write
}

// Is reports whether an address is one of a PostgreSQL.
func Is(address string) bool {
	return strings.HasPrefix(address, "postgres://") || strings.HasPrefix(address, "postgresql://")
}

// Open names a database; that it can be reached is seen with the first statement. The
// address is a URL as libpq reads it ("34.1.1.2. Connection URIs"); what it leaves out is
// taken from the PG... variables and the password file that libpq reads too. A URL with a
// password is refused: whoever lists processes would read it. So is one to another machine
// that may end up unencrypted without saying so ("34.19.3. Protection Provided in Different
// Modes").
func Open(address string) (*Database, error) {
	u, err := url.Parse(address) // what it fails with holds the address, which may hold a password
	if err != nil || !Is(address) {
		return nil, errAddress
	}
	asked := u.Query()
	if _, has := u.User.Password(); has || asked.Has("password") || asked.Has("sslpassword") {
		return nil, bullpen.Errorf(bullpen.Invalid, "A password in the database's address can be read by others on this machine; put it into the variable PGPASSWORD or into a file that PGPASSFILE names.")
	}
	config, err := pgx.ParseConfig(address)
	if err != nil {
		return nil, &bullpen.Error{Code: bullpen.Invalid, Message: errAddress.Message, Err: err}
	}
	if host := inTheOpen(config); host != "" && !asked.Has("sslmode") {
		return nil, bullpen.Errorf(bullpen.Invalid, "The way to %s may not be encrypted, and all rows go over it: add ?sslmode=verify-full to the database's address, or another sslmode if you mean it.", host)
	}
	if config.ConnectTimeout == 0 {
		config.ConnectTimeout = 5 * time.Second
	}
	// A program that was stopped in the midst of a change has it taken back before those who
	// wait for it give up.
	set(config, "lock_timeout", "10s")
	set(config, "idle_in_transaction_session_timeout", "5s")
	name := ours + " " + strings.ToLower(rand.Text()[:8])
	set(config, "application_name", name)
	set(config, "default_transaction_isolation", "read committed") // see Turn
	set(config, "timezone", "UTC")
	// The server lets go of a machine that is gone without a word, and of its leadership with
	// it ("20.3.2. TCP Settings").
	set(config, "tcp_keepalives_idle", "5")
	set(config, "tcp_keepalives_interval", "2")
	set(config, "tcp_keepalives_count", "3")
	set(config, "tcp_user_timeout", "15000") // ms
	d := &Database{config: config, name: name, Write: pool(config, writers)}
	reading := config.Copy()
	set(reading, "default_transaction_read_only", "on")
	d.Read = pool(reading, readers)
	return d, nil
}

// ours is what the names of all programs of this kind begin with (pg_stat_activity shows
// them).
const ours = "tenoff"

var errAddress = &bullpen.Error{Code: bullpen.Invalid, Message: "That is no address of a PostgreSQL: write postgres://USER@HOST/DATABASE."}

// inTheOpen is a host on another machine that may be spoken to without encryption, "" for
// none.
func inTheOpen(config *pgx.ConnConfig) string {
	ways := append([]*pgconn.FallbackConfig{{Host: config.Host, Port: config.Port, TLSConfig: config.TLSConfig}}, config.Fallbacks...)
	for _, w := range ways {
		network, _ := pgconn.NetworkAddress(w.Host, w.Port)
		ip := net.ParseIP(w.Host)
		if w.TLSConfig == nil && network != "unix" && w.Host != "localhost" && !ip.IsLoopback() {
			return w.Host
		}
	}
	return ""
}

func set(config *pgx.ConnConfig, name, value string) { config.RuntimeParams[name] = value }

func pool(config *pgx.ConnConfig, size int) *sql.DB {
	db := sql.OpenDB(connector{stdlib.GetConnector(*config)})
	db.SetMaxOpenConns(size)
	db.SetMaxIdleConns(size)
	db.SetConnMaxIdleTime(5 * time.Minute)
	return db
}

// Close ends all connections but those of Listen and Alone, which end with their contexts.
func (d *Database) Close() error { return errors.Join(d.Write.Close(), d.Read.Close()) }

// Turn waits, within a transaction, until no other has the turn of that name; it is given
// back with the transaction's end. It returns the server's time, microseconds UTC. What is
// read afterwards is what the one before left, since each statement of a READ COMMITTED
// transaction sees anew ("13.2.1. Read Committed Isolation Level").
func Turn(ctx context.Context, tx *sql.Tx, name string) (now int64, err error) {
	var void string
	err = tx.QueryRowContext(ctx, `SELECT pg_advisory_xact_lock(hashtextextended(?, 0))::text, (extract(epoch FROM clock_timestamp()) * 1000000)::bigint`, name).Scan(&void, &now)
	return now, err
}

// Once runs do in one transaction on a connection of its own: for what is more than
// statements. What it fails with is explained.
func (d *Database) Once(ctx context.Context, do func(pgx.Tx) error) error {
	c, err := connect(ctx, d.config)
	if err != nil {
		return err
	}
	defer leave(c)
	return Explain(pgx.BeginFunc(ctx, c, do))
}

// Others returns how many other programs of this kind are on the database.
func (d *Database) Others(ctx context.Context, tx pgx.Tx) (n int, err error) {
	err = tx.QueryRow(ctx, `SELECT count(DISTINCT application_name) FROM pg_stat_activity
		WHERE datname = current_database() AND application_name <> $1 AND starts_with(application_name, $2)`, d.name, ours).Scan(&n)
	return n, err
}
