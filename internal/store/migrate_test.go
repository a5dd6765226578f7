package store

import (
	"context"
	"database/sql"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

var update = flag.Bool("update", false, "write the database of the current schema into testdata")

// openAt opens a store at the schema that steps lead to; it waits for no disk.
func openAt(t *testing.T, dir string, steps ...string) (*Store, error) {
	t.Helper()
	s, err := open(t.Context(), dir, steps, "OFF", time.Now)
	if err == nil {
		t.Cleanup(func() { s.Close() })
	}
	return s, err
}

// again opens a folder at the current schema, waiting for no disk.
func again(t *testing.T, dir string) *Store {
	t.Helper()
	s, err := openAt(t, dir, current(t)...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// current is the steps to the schema that this program works with.
func current(t *testing.T) []string {
	t.Helper()
	all, err := steps()
	if err != nil {
		t.Fatal(err)
	}
	return slices.Clip(all)
}

func TestMigrate(t *testing.T) {
	now := current(t)
	dir := t.TempDir()
	s, err := openAt(t, dir, now...)
	if err != nil {
		t.Fatal(err)
	}
	b := pen(t, s, "Kit", "2026-04-11")
	r := add(t, s, unmarked(b, bullpen.Fastball, 55))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	// A later program adds a column and rebuilds a table that others refer to.
	const second = `ALTER TABLE bullpens ADD COLUMN weather TEXT NOT NULL DEFAULT 'fair';
		CREATE TABLE p2 AS SELECT * FROM pitchers;
		DROP TABLE pitchers;
		CREATE TABLE pitchers (id TEXT PRIMARY KEY, academy_id TEXT NOT NULL, version INTEGER NOT NULL, created INTEGER NOT NULL, label TEXT NOT NULL) STRICT;
		INSERT INTO pitchers SELECT id, academy_id, version, created, label FROM p2;
		DROP TABLE p2;`
	s, err = openAt(t, dir, append(now, second)...)
	if err != nil {
		t.Fatal(err)
	}
	var weather, label string
	err = s.read.QueryRow(`SELECT weather, label FROM bullpens b JOIN pitchers p ON p.id = b.pitcher_id`).Scan(&weather, &label)
	if err != nil || weather != "fair" || label != "Kit" {
		t.Errorf("%q of %q, %v", weather, label, err)
	}
	if n, err := s.Schema(t.Context()); n != len(now)+1 {
		t.Errorf("schema %d, %v", n, err)
	}
	var on int
	if err := s.write.QueryRow(`PRAGMA foreign_keys`).Scan(&on); err != nil || on != 1 {
		t.Errorf("references are no longer checked (%v)", err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	// The copy that was kept opens with the old program, whole.
	old := t.TempDir()
	if err := os.Rename(filepath.Join(dir, fmt.Sprintf("before-schema-%d.db", len(now)+1)), filepath.Join(old, Database)); err != nil {
		t.Fatal(err)
	}
	s, err = openAt(t, old, now...)
	if err != nil {
		t.Fatal(err)
	}
	got, err := s.Rep(t.Context(), r.ID)
	same(t, got, r, err)
	// The old program leaves the new data alone.
	_, err = openAt(t, dir, now...)
	wantCode(t, err, bullpen.Unavailable)
	if err == nil || !strings.Contains(bullpen.MessageOf(err), "newer tenoff") {
		t.Errorf("said %v", err)
	}
}

// A database that was made just now holds nothing that could be lost on the way to the
// newest schema.
func TestNoCopyOfANewDatabase(t *testing.T) {
	dir := t.TempDir()
	s := at(t, dir)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 1 || entries[0].Name() != Database {
		t.Errorf("a new data folder has %v, %v", entries, err)
	}
}

// Bands that were copied from a level, or repeat a default, are no longer hers; what
// she goes by stays the same.
func TestCopiedBandsAreTakenOff(t *testing.T) {
	now := current(t)
	before := slices.IndexFunc(now, func(step string) bool { return strings.Contains(step, "A pitcher's bands are her own only") })
	dir := t.TempDir()
	s, err := openAt(t, dir, now[:before]...)
	if err != nil {
		t.Fatal(err)
	}
	const young = `{"unit":"mph","lo":6,"hi":10,"limit":13}`
	const usual = `{"unit":"mph","lo":8,"hi":12,"limit":15}`
	const curve = `{"unit":"mph","lo":3,"hi":7,"limit":10}`
	for id, her := range map[string]struct{ level, bands string }{
		"copy":    {"12U", `{"ch":` + young + `}`},
		"default": {"14U", `{"ch":` + usual + `,"cu":` + curve + `}`},
		"own":     {"12U", `{"ch":` + usual + `,"dr":` + young + `,"cu":` + curve + `}`},
		"moved":   {"14U", `{"ch":` + young + `}`},
		"none":    {"12U", `{}`},
	} {
		if _, err := s.write.Exec(`INSERT INTO pitchers (id, academy_id, version, created, label, hand, level, distance_feet, extension_feet,
			ball_kind, baseline_pitch, policy, typed_baseline, gun_tolerance, bands, trust_rule, unit)
			VALUES (?, ?, 1, 1, ?, 'right', ?, 40, 5, '12 in', 'fb', 'mean', 0, 1, ?, '', 'mph')`, id, s.first, id, her.level, her.bands); err != nil {
			t.Fatal(err)
		}
	}
	// As the level's editor has always stored it.
	if _, err := s.write.Exec(`INSERT INTO levels (academy_id, key, version, edited) VALUES (?, '12U', 1, ?)`, s.first,
		`{"Key":"12U","Name":"12 and under","DistanceFeet":40,"ExtensionFeet":5,"BallKind":"12 in","Bands":{"ch":`+young+`}}`); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = again(t, dir)
	for id, want := range map[string]struct {
		own int
		lo  float64 // what her change-up goes by
	}{"copy": {0, 6}, "default": {0, 8}, "own": {2, 8}, "moved": {1, 6}, "none": {0, 6}} {
		p, err := s.Pitcher(t.Context(), id)
		band, _ := p.BandOf(bullpen.ChangeUp)
		if err != nil || len(p.Bands) != want.own || band.Lo != want.lo {
			t.Errorf("%s: own %v, change-up from %v, want %d and %v (%v)", id, p.Bands, band.Lo, want.own, want.lo, err)
		}
	}
}

// An extension that was copied from her level is no longer hers; how far in front of the
// rubber she lets go stays the same for everybody.
func TestCopiedExtensionsAreTakenOff(t *testing.T) {
	now := current(t)
	before := slices.IndexFunc(now, func(step string) bool { return strings.Contains(step, "A pitcher's extension is her own only") })
	dir := t.TempDir()
	s, err := openAt(t, dir, now[:before]...)
	if err != nil {
		t.Fatal(err)
	}
	pitchers := map[string]struct {
		level string
		feet  float64
		own   bool
	}{
		"copy":              {"14U", 6, false},
		"copy of an edited": {"12U", 4.5, false},
		"own":               {"14U", 4.2, true},
		"half a foot":       {"BB50", 5.5, false},
		"copied earlier":    {"12U", 5, true},
		"no level":          {"", 5, true},
	}
	for id, her := range pitchers {
		if _, err := s.write.Exec(`INSERT INTO pitchers (id, academy_id, version, created, label, hand, level, distance_feet, extension_feet,
			ball_kind, baseline_pitch, policy, typed_baseline, gun_tolerance, bands, trust_rule, unit)
			VALUES (?, ?, 1, 1, ?, 'right', ?, 40, ?, '12 in', 'fb', 'mean', 0, 1, '{}', '', 'mph')`, id, s.first, id, her.level, her.feet); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.write.Exec(`INSERT INTO levels (academy_id, key, version, edited) VALUES (?, '12U', 1, ?)`, s.first,
		`{"Key":"12U","Name":"12 and under","DistanceFeet":40,"ExtensionFeet":4.5,"BallKind":"12 in","Bands":null}`); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = again(t, dir)
	for id, her := range pitchers {
		p, err := s.Pitcher(t.Context(), id)
		if err != nil || (p.ExtensionFeet != nil) != her.own || p.Extension() != her.feet {
			t.Errorf("%s: own %v, %v ft, want %v (%v)", id, p.ExtensionFeet != nil, p.Extension(), her, err)
		}
	}
}

// What finders put between frames before it was kept which of them did is sure to nothing until
// its film is searched again; marks, and what was decided, stay.
func TestWhatOlderFindersFoundIsNotSure(t *testing.T) {
	s, onward := atSchema(t, 33)
	b := pen(t, s, "Kit", "2026-04-11")
	exec := func(query string, args ...any) {
		t.Helper()
		if _, err := s.write.Exec(query, args...); err != nil {
			t.Fatal(err)
		}
	}
	exec(`INSERT INTO films (id, academy_id, bullpen_id, version, created, name, sha256, bytes, state, refusal, position, recorded, width, height, codec, hdr, has_sound, clock_num, clock_den, ticks, slow, slow_known, view, made)
			VALUES ('film', ?, ?, 1, 1, '', '', 1, 'ready', '', 0, 0, 0, 0, '', 0, 0, 1, 30, ?, 1, 0, '', '{}')`, s.first, b.ID, packTicks(nil))
	exec(`INSERT INTO reps (id, academy_id, bullpen_id, pitcher_id, film_id, day, version, created, deleted, drive, plant, top, "release", place, pitch, unit, step, gun, drill, set_number, number, called, warm_up, note, found)
			SELECT 'rep', ?, id, pitcher_id, 'film', day, 3, 1, 0, 45, 52, 57, 60, 0, 'fb', 'mph', 1, '', '', 0, 0, '', 0, '', 2.003 FROM bullpens WHERE id = ?`, s.first, b.ID)
	exec(`INSERT INTO proposals (id, academy_id, film_id, version, from_frame, to_frame, "release", instant, spread, confidence, reason, state, rough, rep_id)
			SELECT state, ?, 'film', 1, 50, 65, 60, 2.003, 0.004, 0.9, 'motion only', state, 0, CASE state WHEN 'confirmed' THEN 'rep' END
			FROM (SELECT 'open' AS state UNION ALL SELECT 'confirmed' UNION ALL SELECT 'thrown out') s`, s.first)
	s = onward()
	rep, err := s.Rep(t.Context(), "rep")
	if err != nil || rep.Version != 3 || rep.Drive != 45 || rep.Plant != 52 || rep.Top != 57 || rep.Release != 60 {
		t.Errorf("%+v, %v", rep, err)
	}
	proposals, err := s.Proposals(t.Context(), b.ID)
	if err != nil || len(proposals) != 3 {
		t.Fatalf("%+v, %v", proposals, err)
	}
	for _, p := range proposals {
		if p.Instant != nil || p.Spread != nil || !p.Vague() || p.Version != 1 || p.ID != string(p.State) {
			t.Errorf("%+v", p)
		}
	}
	found, err := s.FoundReleases(t.Context(), b.ID)
	same(t, found, map[string]FoundRelease{}, err)
	var finder int
	if err := s.read.QueryRow(`SELECT finder FROM films`).Scan(&finder); err != nil || finder != 0 {
		t.Errorf("searched by finder %d, %v", finder, err)
	}
}

func TestMigrateAllOrNothing(t *testing.T) {
	now := current(t)
	for name, bad := range map[string]string{
		"half a step":        `CREATE TABLE extra (id TEXT) STRICT; INSERT INTO nowhere VALUES (1);`,
		"a broken reference": `DELETE FROM pitchers;`,
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			s, err := openAt(t, dir, now...)
			if err != nil {
				t.Fatal(err)
			}
			b := pen(t, s, "Kit", "2026-04-11")
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			if _, err := openAt(t, dir, append(now, bad)...); err == nil {
				t.Fatal("went through")
			}
			s, err = openAt(t, dir, now...)
			if err != nil {
				t.Fatal(err)
			}
			if n, err := s.Schema(t.Context()); n != len(now) {
				t.Errorf("schema %d, %v", n, err)
			}
			if p, err := s.Pitcher(t.Context(), b.PitcherID); err != nil || p.Label != "Kit" {
				t.Errorf("%+v, %v", p, err)
			}
		})
	}
}

// What an older program deleted may lie in free pages. It is cleaned away after a step
// of the schema, also when the program ended between the two, and the copies of before
// the steps stay.
func TestStepsLeaveNothingOfBefore(t *testing.T) {
	now := current(t)
	const step = `ALTER TABLE bullpens ADD COLUMN weather TEXT NOT NULL DEFAULT 'fair'`
	for name, next := range map[string]string{
		"one step":              `SELECT 1`,
		"ended after the first": `INSERT INTO nowhere VALUES (1)`,
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			s, err := openAt(t, dir, now...)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := s.write.Exec(`PRAGMA secure_delete = off; CREATE TABLE x (a TEXT); INSERT INTO x VALUES ('` + strings.Repeat(herName+" ", 2000) + `'); DROP TABLE x`); err != nil {
				t.Fatal(err)
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			if got := holding(t, dir, herName); len(got) == 0 {
				t.Fatal("her name is nowhere: this test shows nothing")
			}
			steps := append(now, step)
			if s, err := openAt(t, dir, append(now, step, next)...); err == nil {
				if err := s.Close(); err != nil {
					t.Fatal(err)
				}
				steps = append(steps, next)
			}
			if s, err = openAt(t, dir, steps...); err != nil {
				t.Fatal(err)
			}
			if err := s.Clean(t.Context()); err != nil {
				t.Fatal(err)
			}
			if got := holding(t, dir, herName); len(got) > 0 || s.due() != (debts{}) {
				t.Errorf("left in %v; due: %+v", got, s.due())
			}
			if kept, err := Copies(dir); err != nil || len(kept) < len(steps)-len(now) {
				t.Errorf("copies of before: %v, %v", kept, err)
			}
		})
	}
}

func TestNotOurs(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, Database)
	if err := os.WriteFile(path, []byte(strings.Repeat("not a database at all ", 500)), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Open(t.Context(), dir)
	wantCode(t, err, bullpen.Unavailable)
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("sqlite3", path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec(`CREATE TABLE somebody (else_s TEXT); PRAGMA user_version = 1`); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	_, err = Open(t.Context(), dir)
	wantCode(t, err, bullpen.Unavailable)
	if err == nil || !strings.Contains(bullpen.MessageOf(err), "not one of tenoff's") {
		t.Errorf("said %v", err)
	}
}

// databases holds a database of every schema that ever was, with one row of each
// kind at least.
const databases = "../../testdata/databases"

// TestOldDatabases opens each kept database with this program. A new migration needs
// no change here; `go test ./internal/store -run TestOldDatabases -update` keeps one
// of the schema it leads to.
func TestOldDatabases(t *testing.T) {
	all, err := steps()
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		keepDatabase(t, filepath.Join(databases, fmt.Sprintf("%04d.db", len(all))))
	}
	for schema := range all {
		name := fmt.Sprintf("%04d.db", schema+1)
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			old, err := os.ReadFile(filepath.Join(databases, name))
			if err != nil {
				t.Fatal(err)
			}
			dir := t.TempDir()
			if err := os.WriteFile(filepath.Join(dir, Database), old, 0o600); err != nil {
				t.Fatal(err)
			}
			s := again(t, dir)
			if n, err := s.Schema(t.Context()); n != len(all) || err != nil {
				t.Errorf("schema %d, %v", n, err)
			}
			readEverything(t, s)
			// Whose marks a film was found by is kept from schema 26 on. One from before is not
			// taken for one found by none.
			var found int
			if err := s.read.QueryRow(`SELECT count(*) FROM films WHERE found_by = '?'`).Scan(&found); err != nil || found != 1 && schema+1 < 26 || found != 0 && schema+1 >= 26 {
				t.Errorf("%d films of which nobody knows by whose marks they were found, %v", found, err)
			}
		})
	}
}

// readEverything checks what keepDatabase stored.
func readEverything(t *testing.T, s *Store) {
	ctx := t.Context()
	cards, _, err := s.Bullpens(ctx, "", Page{})
	if err != nil || len(cards) != 1 {
		t.Fatalf("%d bullpens, %v", len(cards), err)
	}
	c := cards[0]
	if c.PitcherLabel != "Kit" || c.Reps != 2 || c.Readings != 2 || c.Films != 1 || c.Clips != 1 || c.Day != "2026-04-11" {
		t.Errorf("%+v", c)
	}
	films, err := s.Films(ctx, c.ID)
	if err != nil || len(films) != 1 || films[0].Clock.Frames() != 90 || films[0].Made.Cut.FirstTick != -40 {
		t.Errorf("films %+v, %v", films, err)
	}
	reps, err := s.Reps(ctx, c.ID)
	if err != nil || len(reps) != 2 || reps[1].Pitch != bullpen.ChangeUp || reps[1].Release != 60 || reps[1].Drive != 45 || reps[1].Reading.Value != 45 {
		t.Errorf("reps %+v, %v", reps, err)
	}
	proposals, err := s.Proposals(ctx, c.ID)
	if err != nil || len(proposals) != 1 || proposals[0].Release != 80 {
		t.Errorf("proposals %+v, %v", proposals, err)
	}
	jobs, err := s.Jobs(ctx, c.ID)
	if err != nil || len(jobs) != 2 {
		t.Errorf("jobs %+v, %v", jobs, err)
	}
	level, err := s.Level(ctx, "12U")
	if err != nil || level.DistanceFeet != 38 {
		t.Errorf("level %+v, %v", level, err)
	}
	setting, err := s.Setting(ctx, "theme")
	same(t, setting, `"dark"`, err)
	rule, err := s.TrustRule(ctx, c.PitcherID)
	same(t, rule, `{"inBand":8}`, err)
	files, err := s.NamedFiles(ctx)
	if err != nil || len(files) != 5 {
		t.Errorf("files %+v, %v", files, err)
	}
}

// keepDatabase writes a database with one row of each kind at least.
func keepDatabase(t *testing.T, path string) {
	t.Helper()
	ctx := context.Background()
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	p, err := s.Pitcher(ctx, b.PitcherID)
	if err != nil {
		t.Fatal(err)
	}
	f := ready(t, s, b, "IMG_1.mov", 90, 0)
	add(t, s, valued(marked(f, 20, bullpen.Fastball), 55))
	off := valued(marked(f, 60, bullpen.ChangeUp), 45)
	off.Drive, off.Plant, off.Top = 45, 52, 57
	off = add(t, s, off)
	finished(t, s, b, off.ID, "")
	found := Instants{RepID: off.ID, FilmID: f.ID, Mark: 60, Slow: f.Clock.Slow, Trace: 1, Drive: FoundInstant{1.5, 0.9, true}}
	if err := s.KeepJoints(ctx, Joints{FilmID: f.ID, First: 40, Last: 70, Version: 1, Poses: []byte{1}}, f.Box); err != nil {
		t.Fatal(err)
	}
	level, err := s.Level(ctx, "12U")
	if err != nil {
		t.Fatal(err)
	}
	level.DistanceFeet = 38
	if _, err := s.SaveLevel(ctx, level); err != nil {
		t.Fatal(err)
	}
	for _, err := range []error{
		s.Propose(ctx, f.ID, []Proposal{{From: 70, To: 85, Release: 80, Confidence: 0.7, Reason: "motion only"}}, FilmFindings{}, 3),
		s.SaveSetting(ctx, "theme", `"dark"`),
		s.KeepInstants(ctx, b.ID, revisionOf(t, s, b.ID), []InstantSearch{{FilmID: f.ID, Inputs: "x", Doubled: 0.01}}, []Instants{found}),
		s.SaveTrustRule(ctx, p.ID, p.Version, `{"inBand":8}`),
		second(s.KeepEntries(ctx, []bullpen.FieldEntry{{ID: "entry00000000001", PitcherID: p.ID, Day: b.Day, At: 1, Revision: 1, Pitch: bullpen.ChangeUp}})),
		third(s.AddFieldLink(ctx, b.ID, time.Hour)),
		os.MkdirAll(filepath.Dir(path), 0o755),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Remove(path); err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	if err := s.CopyTo(ctx, path); err != nil {
		t.Fatal(err)
	}
}

func second[A any](_ A, err error) error        { return err }
func third[A, B any](_ A, _ B, err error) error { return err }

func TestCopyIsChecked(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	f := reading(t, s, b, "a.mov", "5um")
	path := filepath.Join(t.TempDir(), Database)
	if err := s.CopyTo(t.Context(), path); err != nil {
		t.Fatal(err)
	}
	files, err := NamedIn(t.Context(), path)
	same(t, files, []File{{Key: f.Made.Original, Bytes: 1000, Sum: "5um"}}, err)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := 4096; i < len(data); i += 64 {
		data[i] ^= 0x55
	}
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err = NamedIn(t.Context(), path)
	wantCode(t, err, bullpen.Unavailable)
	_, err = NamedIn(t.Context(), path+"-not-there")
	wantCode(t, err, bullpen.NotFound)
}
