package postgres

import (
	"testing"

	"github.com/jackc/pgx/v5/pgconn"

	"tenoff/internal/bullpen"
)

// To another machine only an encrypted way is taken, unless the address says otherwise
// itself (sslmode: PostgreSQL documentation, "34.19.3. Protection Provided in Different
// Modes": only from require on is there always encryption).
func TestTheWayIsEncrypted(t *testing.T) {
	for _, c := range []struct {
		address, mode string // mode is PGSSLMODE
		want          bool
	}{
		{"postgres://me@db.example/tenoff", "", false},
		{"postgres://me@192.0.2.7/tenoff", "", false},
		{"postgres://me@[2001:db8::7]:5433/tenoff", "allow", false},
		{"postgres://me@db.example/tenoff", "disable", false},
		{"postgres://me@/tenoff?host=db.example", "", false},
		{"postgres://me@db.example/tenoff", "require", true},
		{"postgres://me@db.example/tenoff?sslmode=verify-full", "", true},
		{"postgres://me@db.example/tenoff?sslmode=disable", "", true},
		{"postgres://me@localhost/tenoff", "", true},
		{"postgres://me@127.0.0.1:5433/tenoff", "", true},
		{"postgres://me@[::1]/tenoff", "", true},
		{"postgres://me@/tenoff?host=/run/postgresql", "", true},
	} {
		t.Setenv("PGSSLMODE", c.mode)
		d, err := Open(c.address)
		if (err == nil) != c.want || err != nil && bullpen.CodeOf(err) != bullpen.Invalid {
			t.Errorf("%s with PGSSLMODE=%s: %v", c.address, c.mode, err)
		}
		if err == nil {
			if err := d.Close(); err != nil {
				t.Error(err)
			}
		}
	}
}

// Why a server lets nobody in is told apart (appendix A. PostgreSQL Error Codes).
func TestRefusal(t *testing.T) {
	told := map[string]bool{}
	for _, code := range []string{"28P01", "28000", "3D000", "42501"} {
		told[Refusal(&pgconn.PgError{Code: code})] = true
	}
	if len(told) != 4 || told[""] {
		t.Errorf("%v", told)
	}
	if why := Refusal(&pgconn.PgError{Code: "53300"}); why != "" {
		t.Errorf("too many connections: %q", why)
	}
}
