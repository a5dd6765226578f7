package postgres

import (
	"context"
	"database/sql/driver"
	"errors"
	"io"
	"net"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"

	"tenoff/internal/bullpen"
)

// Explain turns what the database or the way to it failed with into a sentence; any other
// error stays as it is. Whether something was changed is not known where the connection
// went while it was being committed; whoever sends it again names it by its own key.
func Explain(err error) error {
	if err == nil || bullpen.CodeOf(err) != bullpen.Internal || errors.Is(err, context.Canceled) {
		return err
	}
	code, sentence := words(err)
	switch sentence {
	case "":
		return err
	case unreachable:
		err = errors.Join(bullpen.ErrAway, err)
	}
	return &bullpen.Error{Code: code, Message: sentence, Err: err}
}

// Refusal says why a server let nobody in, for whoever sets it up; "" for any other error.
func Refusal(err error) string {
	var said *pgconn.PgError
	if !errors.As(err, &said) {
		return ""
	}
	switch said.Code {
	case "28P01": // invalid_password
		return "The server does not take this user's password: put the right one into the variable PGPASSWORD or into the file that PGPASSFILE names."
	case "28000": // invalid_authorization_specification
		return "The server lets this user in from nowhere or from elsewhere only: check the user's name and the server's pg_hba.conf."
	case "3D000": // invalid_catalog_name
		return "There is no database of that name on the server: make it with `createdb`, or correct the address."
	case "42501": // insufficient_privilege
		return "This user has no rights in the database: make it the database's owner."
	}
	return ""
}

const (
	busy        = "The database is busy; try again in a moment."
	unreachable = "The database can't be reached; try again in a moment."
)

func words(err error) (bullpen.Code, string) {
	var said *pgconn.PgError
	if !errors.As(err, &said) {
		if lost(err) {
			return bullpen.Unavailable, unreachable
		}
		return "", ""
	}
	// Classes and conditions: PostgreSQL 15 documentation, appendix A.
	switch said.Code {
	case "22021", "22P05": // character_not_in_repertoire, untranslatable_character
		return bullpen.Invalid, "There is a character in this text that can't be stored; leave it out."
	case "23505": // unique_violation
		return bullpen.Conflict, "Somebody else was faster with the same; look at it as it is now and try again."
	case "53100": // disk_full
		return bullpen.Unavailable, "The database's disk is full; make room and try again. Nothing was changed."
	case "53300": // too_many_connections
		return bullpen.Unavailable, busy
	case "25006": // read_only_sql_transaction
		return bullpen.Unavailable, "The database takes no changes now, as one that stands by; try again in a moment."
	case "28000", "28P01", "3D000", "42501": // authorization, password, no such database, privilege
		return bullpen.Unavailable, "The database does not let tenoff in; `tenoff doctor` says what to do."
	case "55P03", "57014", "57P05": // lock_not_available, query_canceled, idle_session_timeout
		return bullpen.Unavailable, busy
	case "57P01", "57P02", "57P03": // admin_shutdown; crash_shutdown, of what others did; cannot_connect_now
		return bullpen.Unavailable, unreachable
	}
	switch said.Code[:min(2, len(said.Code))] {
	case "XX", "57", "58": // internal error, operator intervention (a database that was dropped), system (its disk)
		return bullpen.Unavailable, "The database failed at this; try again in a moment. Its log says why."
	case "08": // connection
		return bullpen.Unavailable, unreachable
	case "25", "40", "53": // idle transactions ended, rolled back, resources
		return bullpen.Unavailable, busy
	}
	return "", ""
}

// lost reports whether an error says that the connection is gone or was never there.
func lost(err error) bool {
	var connecting *pgconn.ConnectError
	var network net.Error
	return errors.As(err, &connecting) || errors.As(err, &network) || errors.Is(err, driver.ErrBadConn) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed) || strings.Contains(err.Error(), "conn closed")
}
