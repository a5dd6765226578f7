package postgres

import "testing"

func TestSay(t *testing.T) {
	for _, c := range []struct{ as, want string }{
		{`SELECT a FROM b WHERE c = ? AND d = ?`, `SELECT a FROM b WHERE c = $1 AND d = $2`},
		{`SELECT ?1, ?12, ?1`, `SELECT $1, $12, $1`},
		{`SELECT '?', "?" -- ? it's` + "\n" + `, ?`, `SELECT '?', "?" -- ? it's` + "\n" + `, $1`},
		{`SELECT 'it''s ?', ?`, `SELECT 'it''s ?', $1`},
		{`SELECT a FROM b x INDEXED BY b_by_a WHERE c = ?`, `SELECT a FROM b x  WHERE c = $1`},
		{`SELECT a FROM b INDEXED BY b_by_a`, `SELECT a FROM b `},
		{`(SELECT a FROM b INDEXED BY b_by_a)`, `(SELECT a FROM b )`},
		{`SELECT a FROM b CROSS JOIN c ON c.b = b.a`, `SELECT a FROM b JOIN c ON c.b = b.a`},
		{`SELECT 'INDEXED BY x'`, `SELECT 'INDEXED BY x'`},
		{`SELECT a ->> 'b' FROM c -- the end`, `SELECT a ->> 'b' FROM c -- the end`},
		{``, ``},
	} {
		if got := Say(c.as); got != c.want {
			t.Errorf("%q is said as %q, want %q", c.as, got, c.want)
		}
	}
}
