package store

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/postgres"
)

// sowReps stores reps enough for the planner to weigh: 10,000 of 50 pitchers.
func sowReps(t *testing.T, s *Store) {
	t.Helper()
	for _, statement := range []string{
		`INSERT INTO pitchers (id, academy_id, version, created, label, hand, level, distance_feet, ball_kind, baseline_pitch, policy, typed_baseline, gun_tolerance, bands, trust_rule, unit)
			SELECT 'p' || p, $1, 1, p, 'p' || p, 'R', '14U', 43, '', 'fb', '', 0, 0, '{}', '', 'mph' FROM generate_series(1, 50) p`,
		`INSERT INTO bullpens (id, academy_id, pitcher_id, version, revision, created, day, day_said, title, gun, unit, step, note, reps, judged)
			SELECT 'p' || p || 'b' || b, $1, 'p' || p, 1, 1, b, '2026-' || (100 + b), 1, '', '', 'mph', 1, '', 10, 1 FROM generate_series(1, 50) p, generate_series(1, 20) b`,
		`INSERT INTO reps (id, academy_id, bullpen_id, pitcher_id, day, begun, version, created, deleted, drive, plant, top, "release", place, pitch, reading, unit, step, gun, drill, set_number, number, called, warm_up, note, verdict)
			SELECT b.id || 'r' || r, $1, b.id, b.pitcher_id, b.day, b.created, 1, r, 0, CASE r WHEN 1 THEN 5 ELSE -1 END, -1, -1, -1, r, (ARRAY['fb', 'ch', 'cu'])[1 + r % 3], 50 + r, 'mph', 1, '', '', 0, 0, '', 0, '',
			CASE WHEN r = 3 THEN 'too soft' ELSE '' END FROM bullpens b, generate_series(1, 10) r`,
		`INSERT INTO films (id, academy_id, bullpen_id, version, created, name, sha256, bytes, state, refusal, position, recorded, width, height, codec, hdr, has_sound, clock_num, clock_den, ticks, slow, slow_known, view, made)
			SELECT id || 'f', $1, id, 1, 1, '', id, 1, 'ready', '', 0, 0, 0, 0, '', 0, 0, 1, 1, '', 1, 0, '', '{}' FROM bullpens`,
		`INSERT INTO joints (film_id, first, last, academy_id, version, poses) SELECT id, n, n, $1, 1, '' FROM films, generate_series(1, 5) n`,
		`INSERT INTO accepted (rep_id, version, academy_id, drive, plant, top) SELECT id, 1, $1, 1, 2, 3 FROM reps WHERE drive >= 0`,
		`INSERT INTO weeks (bullpen_id, academy_id, week) SELECT id, $1, '{}' FROM bullpens`,
		`INSERT INTO jobs (id, academy_id, bullpen_id, kind, subject, payload, state, progress, problem, attempts, created, changed, lease, cancelling)
			SELECT id || 'j', $1, id, 'k', id, '', 'failed', 0, '', 1, 1, 1, 0, 0 FROM bullpens`,
	} {
		if _, err := s.write.Exec(statement, s.first); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.write.Exec(`ANALYZE`); err != nil {
		t.Fatal(err)
	}
}

// PostgreSQL weighs costs, and rightly goes through what is small: here that is made dear,
// so that what is left of it in a plan is what no index serves.
var dear = []string{"enable_seqscan", "enable_bitmapscan", "enable_sort", "enable_incremental_sort", "enable_hashagg", "enable_hashjoin", "enable_mergejoin", "enable_material", "enable_memoize"}

// asGood are other indexes that PostgreSQL may take for a query: those that begin alike, and
// those in which hers are few as well.
var asGood = map[string]string{
	"accepted":               "reps_revised",
	"hers by verdict, first": "reps_by_verdict", "hers by verdict, next": "reps_by_verdict",
}

// checkPostgresPlan looks at the plan that a statement has whatever stands in its places,
// with dear things made dear.
func checkPostgresPlan(t *testing.T, s *Store, query string, indexes ...string) {
	t.Helper()
	for i := range indexes {
		indexes[i] = strings.TrimPrefix(indexes[i], "COVERING INDEX ")
	}
	plan := postgresPlan(t, s, query, dear)
	if !slices.ContainsFunc(indexes, func(name string) bool { return name != "" && strings.Contains(plan, " "+name+" ") }) {
		t.Errorf("does not use %s:\n%s", indexes, plan)
	}
	if strings.Contains(plan, "Seq Scan") || strings.Contains(plan, "Sort Key") {
		t.Errorf("goes through everything:\n%s", plan)
	}
}

// postgresPlan is the plan that a statement has whatever stands in its places, with ways to
// go turned off.
func postgresPlan(t *testing.T, s *Store, query string, off []string) string {
	t.Helper()
	tx, err := s.read.Begin()
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = tx.Rollback() }() // the settings go with it
	settings := `SET LOCAL plan_cache_mode = force_generic_plan`
	for _, name := range off {
		settings += `; SET LOCAL ` + name + ` = off`
	}
	said := postgres.Say(query)
	places := 0
	for _, place := range regexp.MustCompile(`\$\d+`).FindAllString(said, -1) {
		if n, err := strconv.Atoi(place[1:]); err == nil {
			places = max(places, n)
		}
	}
	run := `EXPLAIN EXECUTE planned`
	if places > 0 {
		run += `(NULL` + strings.Repeat(", NULL", places-1) + `)`
	}
	for _, statement := range []string{settings, `PREPARE planned AS ` + said} {
		if _, err := tx.Exec(statement); err != nil {
			t.Fatal(err)
		}
	}
	lines, err := all(t.Context(), tx, text, run)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(`DEALLOCATE planned`); err != nil {
		t.Fatal(err)
	}
	return strings.Join(lines, "\n")
}

// PostgreSQL takes nearly all bullpens for unjudged, for it doesn't know that two of their
// columns go together. With costs as they are it must not go through all of them for the
// first few: every search by a verdict asks whether there is one.
func TestTheFirstUnjudgedIsFoundAtOnce(t *testing.T) {
	if !onServerOnly() {
		t.Skip("SQLite is told which index to take")
	}
	s := fresh(t)
	sowReps(t, s)
	if plan := postgresPlan(t, s, unjudgedQuery, nil); !strings.Contains(plan, "using bullpens_unjudged ") || strings.Contains(plan, "Sort Key") {
		t.Errorf("not by its index:\n%s", plan)
	}
}
