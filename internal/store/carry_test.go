package store

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// every puts three rows into every table of a database file, with values at the edges of
// what their columns hold, and what may be NULL once NULL.
func every(t *testing.T, s *Store) {
	t.Helper()
	ctx := t.Context()
	tables, err := carriedOf(ctx, s.write)
	if err != nil {
		t.Fatal(err)
	}
	put := func(tx *tx, c carried) error {
		refers := map[string]string{}
		found, err := all(ctx, tx, func(row scanner) (r [3]string, err error) { return r, row.Scan(&r[0], &r[1], &r[2]) },
			`SELECT "from", "table", "to" FROM pragma_foreign_key_list(?)`, c.table)
		if err != nil {
			return err
		}
		for _, r := range found {
			refers[r[0]] = `SELECT ` + r[2] + ` FROM ` + r[1] + ` ORDER BY ` + r[2] + ` DESC LIMIT 1 OFFSET `
		}
		kinds, err := all(ctx, tx, func(row scanner) (r [2]string, err error) { return r, row.Scan(&r[0], &r[1]) },
			`SELECT type, CASE WHEN "notnull" OR pk > 0 THEN '' ELSE 'NULL' END FROM pragma_table_info(?)`, c.table)
		if err != nil {
			return err
		}
		places, _ := listed(c.columns)
		for i := range 3 {
			values := make([]any, len(c.columns))
			for k, column := range c.columns {
				query, is := refers[column]
				switch {
				case is:
					if err := tx.QueryRow(query + fmt.Sprint(i)).Scan(&values[k]); err != nil {
						return fmt.Errorf("%s.%s: %w", c.table, column, err)
					}
				case i == 2 && kinds[k][1] == "NULL":
				case column == "language":
					values[k] = "es"
				case column == "made" || column == "student" || column == "sent":
					values[k] = fmt.Sprintf(`{"sentAt": %d,  "words":"“ñ” \"\\u0000\" 😀"}`, i)
				case kinds[k][0] == "TEXT":
					values[k] = fmt.Sprintf("%s %c 'ß' \n\t😀 %s", column, 'a'+i, c.table)
				case kinds[k][0] == "INTEGER":
					values[k] = int64(1)<<53 + 1 + int64(i)
				case kinds[k][0] == "REAL":
					values[k] = []float64{0.1 + 0.2, 5e-324, -1.7976931348623157e308}[i]
				case kinds[k][0] == "BLOB":
					values[k] = []byte{0, 255, byte(i)}[i/2:]
				}
			}
			if _, err := tx.Exec(`INSERT INTO `+c.table+` (`+c.list(false)+`) VALUES (`+places+`)`, values...); err != nil {
				return fmt.Errorf("%s: %w", c.table, err)
			}
		}
		return nil
	}
	if err := s.tx(ctx, func(tx *tx) error {
		return tx.untriggered(func() error {
			if _, err := tx.Exec(`DELETE FROM academies`); err != nil {
				return err
			}
			for _, c := range tables {
				if err := put(tx, c); err != nil {
					return err
				}
			}
			return nil
		})
	}); err != nil {
		t.Fatal(err)
	}
}

// everything reads all that is carried of a database, the rows of each table in order.
func everything(t *testing.T, s *Store, tables []carried) (out []string) {
	t.Helper()
	for _, c := range tables {
		var order []string
		for i := range c.columns {
			order = append(order, fmt.Sprint(i+1))
		}
		rows, err := s.read.QueryContext(t.Context(), c.all()+` ORDER BY `+strings.Join(order, ", "))
		if err != nil {
			t.Fatal(err)
		}
		defer rows.Close()
		r := newRow(c)
		n := 0
		for ; rows.Next(); n++ {
			if err := rows.Scan(r.into...); err != nil {
				t.Fatal(err)
			}
			out = append(out, fmt.Sprintf("%s %#v", c.table, r.values))
		}
		if err := rows.Err(); err != nil || n != 3 {
			t.Errorf("%s has %d rows, %v", c.table, n, err)
		}
	}
	return out
}

// Every row of every table, a new one's too, gets from a database file to a PostgreSQL and
// from there to a file as it was, to the last bit; the reps' revisions are not counted anew.
func TestThereAndBackAgain(t *testing.T) {
	if !onServerOnly() {
		return
	}
	ctx := t.Context()
	file, err := OpenScratch(ctx, t.TempDir())
	closing(t, file, err)
	every(t, file)
	tables, err := carriedOf(ctx, file.read)
	if err != nil {
		t.Fatal(err)
	}
	want := everything(t, file, tables)
	if len(want) != 3*len(tables) || len(tables) < 30 {
		t.Fatalf("%d rows of %d tables", len(want), len(tables))
	}
	path := filepath.Join(t.TempDir(), Database)
	if err := file.CopyTo(ctx, path); err != nil {
		t.Fatal(err)
	}

	there := onServer(t)
	if replaced, err := there.Fill(ctx, path); err != nil || replaced != 0 {
		t.Fatal(replaced, err)
	}
	same(t, everything(t, there, tables), want, nil)
	triggers := func() (n int) {
		if err := there.read.QueryRow(`SELECT count(*) FROM pg_trigger WHERE NOT tgisinternal AND tgenabled = 'O'`).Scan(&n); err != nil {
			t.Error(err)
		}
		return n
	}
	if n := triggers(); n != 2 {
		t.Errorf("%d triggers are on", n)
	}

	dir := t.TempDir()
	if err := there.CopyTo(ctx, filepath.Join(dir, Database)); err != nil {
		t.Fatal(err)
	}
	if _, err := NamedIn(ctx, filepath.Join(dir, Database)); err != nil {
		t.Error(err)
	}
	back := at(t, dir)
	same(t, everything(t, back, tables), want, nil)
	schema := func(s *Store) []string {
		t.Helper()
		out, err := all(ctx, s.read, text, `SELECT coalesce(sql, name) FROM sqlite_schema ORDER BY name`)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	same(t, schema(back), schema(file), nil)
	if first, err := FirstIn(ctx, path); err != nil || back.First() != first {
		t.Errorf("the first academy is %q, and was %q, %v", back.First(), first, err)
	}
}

// A database with something in it, or with a program at work on it, is not filled, and stays
// as it is.
func TestNotFilled(t *testing.T) {
	if !onServerOnly() {
		return
	}
	ctx := t.Context()
	file, err := OpenScratch(ctx, t.TempDir())
	closing(t, file, err)
	pen(t, file, "Kit", "2026-04-11")
	path := filepath.Join(t.TempDir(), Database)
	if err := file.CopyTo(ctx, path); err != nil {
		t.Fatal(err)
	}
	address := database(t)
	s, err := OpenPostgres(ctx, address)
	closing(t, s, err)
	other, err := OpenPostgres(ctx, address)
	closing(t, other, err)
	_, err = s.Fill(ctx, path)
	wantCode(t, err, bullpen.Conflict)
	if !strings.Contains(bullpen.MessageOf(err), "Another tenoff") {
		t.Errorf("said %v", err)
	}
	pen(t, other, "Mo", "2026-04-11")
	if err := other.Close(); err != nil {
		t.Fatal(err)
	}
	var refused error
	await(t, "the other is gone", func() bool {
		_, refused = s.Fill(ctx, path)
		return !strings.Contains(bullpen.MessageOf(refused), "Another tenoff")
	})
	wantCode(t, refused, bullpen.Conflict)
	wantCode(t, s.Blank(ctx), bullpen.Conflict)
	if !strings.Contains(bullpen.MessageOf(refused), "already") {
		t.Errorf("said %v", refused)
	}
	her, err := s.Pitchers(ctx)
	if err != nil || len(her) != 1 || her[0].Label != "Mo" {
		t.Errorf("%+v, %v", her, err)
	}
}

// What only SQLite keeps is replaced, also in JSON, where each engine goes on reading it; two
// names that only SQLite tells apart are refused with a sentence, and nothing is kept.
func TestWhatPostgresTakesOtherwise(t *testing.T) {
	if !onServerOnly() {
		return
	}
	ctx := t.Context()
	file, err := OpenScratch(ctx, t.TempDir())
	closing(t, file, err)
	h := assigned(t, file)
	r := add(t, file, func() bullpen.Rep { r := blank(h.BullpenID); r.Note = "a\x00b\xffc"; return r }())
	if err := file.SaveStudent(ctx, h.ID, bullpen.Student{Note: "a\x00b"}); err != nil {
		t.Fatal(err)
	}
	copied := func() string {
		t.Helper()
		path := filepath.Join(t.TempDir(), Database)
		if err := file.CopyTo(ctx, path); err != nil {
			t.Fatal(err)
		}
		return path
	}
	there := onServer(t)
	if n, err := there.Fill(ctx, copied()); err != nil || n != 2 {
		t.Fatal(n, err)
	}
	within := Within(ctx, file.First())
	if got, err := there.Rep(within, r.ID); err != nil || got.Note != "a\uFFFDb\uFFFDc" {
		t.Errorf("%+v, %v", got, err)
	}
	if got, err := there.Homework(within, h.ID); err != nil || got.Student.Note != "a\uFFFDb" {
		t.Errorf("%+v, %v", got, err)
	}

	for _, name := range []string{"Él", "él"} {
		if _, err := file.AddDrill(ctx, bullpen.Drill{Name: name}); err != nil {
			t.Fatal(err)
		}
	}
	there = onServer(t)
	_, err = there.Fill(ctx, copied())
	wantCode(t, err, bullpen.Conflict)
	if !strings.Contains(bullpen.MessageOf(err), "Two drills") {
		t.Errorf("said %v", err)
	}
	if err := there.Blank(ctx); err != nil {
		t.Error(err)
	}
}

func TestStorable(t *testing.T) {
	for text, want := range map[string]string{
		"plain ñ 😀":             "plain ñ 😀",
		"a\x00b":                "a\uFFFDb",
		"a\xffb":                "a\uFFFDb",
		`typed \u0000`:          `typed \u0000`,
		`{"a":"b\u0000c"}`:      "{\"a\":\"b\uFFFDc\"}",
		`{"a":"b\\u0000c"}`:     `{"a":"b\\u0000c"}`,
		`["\\\u0000","\u0001"]`: "[\"\\\\\uFFFD\",\"\\u0001\"]",
	} {
		if got := storable(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// A visitor brings nothing up to date and makes nothing.
func TestVisitPostgres(t *testing.T) {
	if !onServerOnly() {
		return
	}
	address := databaseLike(t, "template1")
	_, err := VisitPostgres(t.Context(), address)
	wantCode(t, err, bullpen.NotFound)
	s, err := OpenPostgres(t.Context(), address)
	closing(t, s, err)
	for change, want := range map[string]string{"+ 1": "newer", "- 1": "older"} {
		if _, err := s.write.Exec(`UPDATE tenoff_schema SET schema = schema ` + change); err != nil {
			t.Fatal(err)
		}
		_, err := VisitPostgres(t.Context(), address)
		wantCode(t, err, bullpen.Unavailable)
		if !strings.Contains(bullpen.MessageOf(err), want) {
			t.Errorf("%s: %v", change, err)
		}
		if _, err := s.write.Exec(`UPDATE tenoff_schema SET schema = ` + fmt.Sprint(len(current(t)))); err != nil {
			t.Fatal(err)
		}
	}
	v, err := VisitPostgres(t.Context(), address)
	closing(t, v, err)
}
