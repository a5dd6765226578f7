package store

import (
	"context"
	"database/sql"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"tenoff/internal/postgres/cluster"
)

// server is the PostgreSQL that fresh stores lie in, nil while they are files.
var server *cluster.Cluster

// overBoth runs the suite over SQLite and then over PostgreSQL.
type overBoth struct{ *testing.M }

// ofTheFile are tests of SQLite's file itself: its settings, schemas, copies and traces.
var ofTheFile = []string{
	"TestCleaningIsMadeUpFor", "TestCopiesAreKeptForAWeek", "TestNothingIsLeftOfHer", "TestCloseAwaitsWhatIsUnderWay", "TestKillLosesNoMark",
	"TestCopyIsChecked", "TestMigrate", "TestNoCopyOfANewDatabase", "TestNotOurs", "TestOldDatabases", "TestStepsLeaveNothingOfBefore",
	"TestRenewRestored", "TestRenewRestoredFromBefore", "TestEverythingIsThereTomorrow", "TestOnlyTheOwnerReadsTheDatabase", "TestOpenSettings",
	"TestAnothersDeletionStaysDue", "TestDeletionsAreCleanedUpTogether", "TestFailedCleaningIsTriedAgain", "TestCleaningDoesNotWaitForEver",
	"BenchmarkMillion", // which fills a file
}

func (m overBoth) Run() int {
	if code := m.M.Run(); code != 0 {
		return code
	}
	ctx := context.Background()
	var err error
	if server, err = cluster.Start(ctx); err == nil {
		err = makeTemplate(ctx)
	}
	if err == nil {
		err = flag.Set("test.skip", "^("+strings.Join(ofTheFile, "|")+")$")
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "the suite can't be run over PostgreSQL:", err)
		return 1
	}
	fmt.Println("over PostgreSQL:")
	code := m.M.Run()
	if err := server.Close(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return code
}

// makeTemplate makes the database that every test's begins as a copy of.
func makeTemplate(ctx context.Context) error {
	if err := server.Do(ctx, "postgres", `CREATE DATABASE template`); err != nil {
		return err
	}
	s, err := OpenPostgres(ctx, server.Address("template"))
	if err != nil {
		return err
	}
	return s.Close()
}

// made counts what tests have made.
var made int

// database makes a database for one test, with nothing in it but the schema and the first
// academy.
func database(t testing.TB) (address string) {
	t.Helper()
	return databaseLike(t, "template")
}

func databaseLike(t testing.TB, template string) (address string) {
	t.Helper()
	made++
	name := fmt.Sprintf("t%d", made)
	if err := server.Do(t.Context(), "postgres", `CREATE DATABASE `+name+` TEMPLATE `+template); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := server.Do(context.Background(), "postgres", `DROP DATABASE `+name+` WITH (FORCE)`); err != nil {
			t.Error(err)
		}
	})
	return server.Address(name)
}

// onServer opens a store in a database of its own.
func onServer(t testing.TB) *Store {
	t.Helper()
	s, err := OpenPostgres(t.Context(), database(t))
	return closing(t, s, err)
}

// atSchema opens a new database at an old schema; onward brings it to the newest.
func atSchema(t *testing.T, schema int) (old *Store, onward func() *Store) {
	t.Helper()
	var err error
	if server == nil {
		dir := t.TempDir()
		if old, err = openAt(t, dir, current(t)[:schema]...); err != nil {
			t.Fatal(err)
		}
		return old, func() *Store {
			t.Helper()
			if err := old.Close(); err != nil {
				t.Fatal(err)
			}
			return again(t, dir)
		}
	}
	steps, err := postgresSteps()
	if err != nil {
		t.Fatal(err)
	}
	address := databaseLike(t, "template1") // with nothing in it
	steps = slices.DeleteFunc(steps, func(step postgresStep) bool { return step.schema > schema })
	old, err = openPostgres(t.Context(), address, steps)
	closing(t, old, err)
	return old, func() *Store {
		t.Helper()
		s, err := OpenPostgres(t.Context(), address)
		return closing(t, s, err)
	}
}

// tellTime tells a store what time it is.
func tellTime(s *Store, now func() time.Time) { s.now, s.engine = now, toldTime{s.engine, now} }

// toldTime is an engine whose clock is told.
type toldTime struct {
	engine
	now func() time.Time
}

func (e toldTime) begin(ctx context.Context, tx *sql.Tx, turn string) (int64, error) {
	_, err := e.engine.begin(ctx, tx, turn)
	return e.now().UnixMicro(), err
}

func (e toldTime) clock(context.Context) (int64, error) { return e.now().UnixMicro(), nil }
