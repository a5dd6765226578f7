package postgres

import (
	"context"
	"log/slog"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

const (
	channel = "tenoff"
	beat    = 5 * time.Second        // how long a listener hears nothing before it asks whether it still would
	again   = 200 * time.Millisecond // between two tries to connect, at first
	seldom  = 5 * time.Second        // and later
)

// Tell, within a transaction's statement, has every listener hear a text of less than
// 8,000 bytes once it is committed.
const Tell = `SELECT pg_notify('` + channel + `', ?)`

// Listen calls heard with what is told until ctx ends. A connection that is lost is made
// again; then, and at the beginning, missed is called first with the oldest transaction
// whose changes may not have been heard, "" for the beginning, and a connection to look at
// them.
func (d *Database) Listen(ctx context.Context, log *slog.Logger, heard func(text string), missed func(ctx context.Context, since string, c *pgx.Conn) error) error {
	l := listener{Database: d, heard: heard, missed: missed}
	for pause := again; ctx.Err() == nil; {
		began := time.Now()
		err := l.once(ctx)
		if ctx.Err() != nil {
			break
		}
		log.WarnContext(ctx, "what other programs change is not heard for a moment", "err", err)
		if time.Since(began) > seldom {
			pause = 0
		}
		select {
		case <-ctx.Done():
		case <-time.After(pause):
		}
		pause = min(max(2*pause, again), seldom)
	}
	return nil
}

type listener struct {
	*Database
	heard  func(text string)
	missed func(ctx context.Context, since string, c *pgx.Conn) error
	since  string // all transactions before this one were heard
}

// once listens until the connection is lost.
func (l *listener) once(ctx context.Context) error {
	c, err := connect(ctx, l.config)
	if err != nil {
		return err
	}
	defer leave(c)
	if _, err := c.Exec(ctx, `LISTEN `+channel); err != nil {
		return err
	}
	since := l.since
	if err := l.mark(ctx, c); err != nil {
		return err
	}
	if err := l.missed(ctx, since, c); err != nil {
		l.since = since
		return err
	}
	for {
		waiting, cancel := context.WithTimeout(ctx, beat)
		n, err := c.WaitForNotification(waiting)
		quiet := waiting.Err() != nil
		cancel()
		switch {
		case err == nil:
			l.heard(n.Payload)
		case ctx.Err() != nil || !quiet || !pgconn.Timeout(err):
			return err
		default:
			asking, cancel := context.WithTimeout(ctx, beat)
			err := l.mark(asking, c)
			cancel()
			if err != nil {
				return err
			}
		}
	}
}

// trial is a channel of nobody's.
const trial = channel + "_trial"

// Hears reports, having tried it out, whether what one connection tells another hears it: a
// pooler that gives a connection to another program after each transaction (PgBouncer's
// transaction mode) takes the word away.
func (d *Database) Hears(ctx context.Context) (bool, error) {
	c, err := connect(ctx, d.config)
	if err != nil {
		return false, err
	}
	defer leave(c)
	if _, err := c.Exec(ctx, `LISTEN `+trial); err != nil {
		return false, Explain(err)
	}
	if _, err := d.Write.ExecContext(ctx, `SELECT pg_notify('`+trial+`', '')`); err != nil {
		return false, err
	}
	waiting, cancel := context.WithTimeout(ctx, beat)
	defer cancel()
	_, err = c.WaitForNotification(waiting)
	if waiting.Err() != nil && ctx.Err() == nil {
		return false, nil
	}
	return err == nil, Explain(err)
}

// mark notes which transactions are over: whatever they told was sent before the answer.
func (l *listener) mark(ctx context.Context, c *pgx.Conn) error {
	return c.QueryRow(ctx, `SELECT pg_snapshot_xmin(pg_current_snapshot())::xid::text`).Scan(&l.since)
}

// connect opens a connection of its own.
func connect(ctx context.Context, config *pgx.ConnConfig) (*pgx.Conn, error) {
	c, err := pgx.ConnectConfig(ctx, config.Copy())
	return c, Explain(err)
}

// leave ends a connection, also when the program is being stopped.
func leave(c *pgx.Conn) {
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	_ = c.Close(ctx) // it may be gone
}
