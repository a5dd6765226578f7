package store

import (
	"context"
	"database/sql"
	"errors"
	"strings"

	"github.com/mattn/go-sqlite3"

	"tenoff/internal/bullpen"
)

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

// listed returns places for as many arguments, to stand between the brackets of an IN,
// and the arguments.
func listed(values []string) (places string, args []any) {
	for _, v := range values {
		args = append(args, v)
	}
	return strings.TrimPrefix(strings.Repeat(", ?", len(values)), ", "), args
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
