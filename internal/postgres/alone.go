package postgres

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"github.com/jackc/pgx/v5"
)

// standBy is how often a program asks whether it is to be the one, and whether it still is.
const standBy = 2 * time.Second

// Alone runs do on one of the programs on the database at a time, until do returns or ctx
// ends: the one whose connection has the lock of that name. When that connection is lost
// do's context ends, and another program may begin; this one stands by again.
func (d *Database) Alone(ctx context.Context, log *slog.Logger, name string, do func(context.Context) error) error {
	for {
		done, err := d.lead(ctx, name, do)
		if done || ctx.Err() != nil {
			return err
		}
		log.WarnContext(ctx, "this program can't lead and stands by again", "in", name, "err", err)
		select {
		case <-ctx.Done():
			return nil
		case <-time.After(standBy):
		}
	}
}

var errLost = errors.New("the connection that leads is lost")

// lead runs do if this program is the one, and reports whether do came to its own end.
func (d *Database) lead(ctx context.Context, name string, do func(context.Context) error) (done bool, err error) {
	c, err := connect(ctx, d.config)
	if err != nil {
		return false, err
	}
	defer leave(c)
	for {
		var is bool
		if err := c.QueryRow(ctx, `SELECT pg_try_advisory_lock(hashtextextended($1, 1))`, name).Scan(&is); err != nil {
			return false, err
		}
		if is {
			break
		}
		select {
		case <-ctx.Done():
			return false, nil
		case <-time.After(standBy):
		}
	}
	leading, stop := context.WithCancel(ctx)
	watched := make(chan bool)
	go func() {
		lost := watch(leading, c)
		stop()
		watched <- lost
	}()
	err = do(leading)
	stop()
	if <-watched {
		return false, errors.Join(errLost, err)
	}
	return true, err
}

// watch asks every now and then whether a connection is there, until it is not (lost) or
// ctx ends.
func watch(ctx context.Context, c *pgx.Conn) (lost bool) {
	for {
		select {
		case <-ctx.Done():
			return false
		case <-time.After(standBy):
		}
		asking, cancel := context.WithTimeout(ctx, standBy)
		err := c.Ping(asking)
		cancel()
		if err != nil {
			return ctx.Err() == nil
		}
	}
}
