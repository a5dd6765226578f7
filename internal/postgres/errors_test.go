package postgres

import (
	"errors"
	"fmt"
	"testing"

	"github.com/jackc/pgx/v5/pgconn"

	"tenoff/internal/bullpen"
)

// Only a server that is not there, or no longer, is away: what it fails with at every try
// is not waited out. Codes: PostgreSQL 15 documentation, appendix A.
func TestAway(t *testing.T) {
	for code, away := range map[string]bool{
		"08006": true, "08001": true, // connection_failure, sqlclient_unable_to_establish_sqlconnection
		"57P01": true, "57P02": true, "57P03": true, // admin_shutdown, crash_shutdown, cannot_connect_now
		"57P04": false, "57P05": false, "57014": false, // database_dropped, idle_session_timeout, query_canceled
		"58030": false, "58P01": false, "XX001": false, "53100": false, // io_error, undefined_file, data_corrupted, disk_full
	} {
		err := Explain(fmt.Errorf("asked: %w", &pgconn.PgError{Code: code}))
		if bullpen.CodeOf(err) != bullpen.Unavailable || errors.Is(err, bullpen.ErrAway) != away {
			t.Errorf("%s: away %v, want %v: %v", code, !away, away, err)
		}
	}
}
