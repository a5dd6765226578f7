package postgres

import (
	"context"
	"database/sql/driver"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/jackc/pgx/v5/stdlib"

	"tenoff/internal/bullpen"
)

// connector opens connections that are spoken to as SQLite's are: see Say for statements
// and CheckNamedValue for values. What fails is explained.
type connector struct{ driver.Connector }

func (c connector) Connect(ctx context.Context) (driver.Conn, error) {
	con, err := c.Connector.Connect(ctx)
	if err != nil {
		return nil, Explain(err)
	}
	return &conn{con.(*stdlib.Conn)}, nil
}

type conn struct{ *stdlib.Conn }

func (c *conn) PrepareContext(ctx context.Context, query string) (driver.Stmt, error) {
	s, err := c.Conn.PrepareContext(ctx, Say(query))
	return s, explained(err)
}

func (c *conn) ExecContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Result, error) {
	res, err := c.Conn.ExecContext(ctx, Say(query), args)
	return res, explained(err)
}

func (c *conn) QueryContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Rows, error) {
	r, err := c.Conn.QueryContext(ctx, Say(query), args)
	if err != nil {
		return nil, explained(err)
	}
	return rows{r}, nil
}

func (c *conn) BeginTx(ctx context.Context, opts driver.TxOptions) (driver.Tx, error) {
	t, err := c.Conn.BeginTx(ctx, opts)
	if err != nil {
		return nil, explained(err)
	}
	return tx{t}, nil
}

func (c *conn) Ping(ctx context.Context) error { return explained(c.Conn.Ping(ctx)) }

// errCharacter is a text that no column takes.
var errCharacter = bullpen.Errorf(bullpen.Invalid, "There is a character in this text that can't be stored; leave it out.")

// CheckNamedValue makes a value one of the few kinds that columns have: a truth is 0 or 1.
func (c *conn) CheckNamedValue(v *driver.NamedValue) (err error) {
	if v.Value, err = driver.DefaultParameterConverter.ConvertValue(v.Value); err != nil {
		return err
	}
	switch value := v.Value.(type) {
	case bool:
		v.Value = int64(0)
		if value {
			v.Value = int64(1)
		}
	case string:
		if !utf8.ValidString(value) || strings.ContainsRune(value, 0) {
			return errCharacter
		}
	}
	return nil
}

type rows struct{ driver.Rows }

func (r rows) Next(into []driver.Value) error {
	if err := r.Rows.Next(into); !errors.Is(err, io.EOF) {
		return explained(err)
	}
	return io.EOF
}

type tx struct{ driver.Tx }

func (t tx) Commit() error   { return explained(t.Tx.Commit()) }
func (t tx) Rollback() error { return explained(t.Tx.Rollback()) }

// explained leaves alone what database/sql looks for: a connection that is bad before
// anything was sent is replaced, and nobody hears of it.
func explained(err error) error {
	if errors.Is(err, driver.ErrBadConn) || errors.Is(err, driver.ErrSkip) {
		return err
	}
	return Explain(err)
}
