package store

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// TestQueryPlans reads the database's own plan of every query that has to stay quick with
// a million reps: each finds what it wants by the index named, without going
// through a table and without sorting.
func TestQueryPlans(t *testing.T) {
	s := fresh(t)
	if !s.Ours() {
		sowReps(t, s)
	}
	cursor := Page{Cursor: "2026-04-11 7 b 3 r", Limit: 100}
	filter := RepFilter{PitcherID: "p", Pitch: bullpen.ChangeUp, From: "2026-01-01", To: "2026-12-31"}
	find := func(f RepFilter, p Page) (string, []any) {
		query, args, err := findReps(s.first, f, p)
		if err != nil {
			t.Fatal(err)
		}
		return query, args
	}
	type query struct{ name, index, text string }
	queries := []query{
		{"ledger", "reps_by_bullpen", ledgerQuery},
		{"what changed in a ledger", "reps_revised", sinceQuery},
		{"the latest change", "reps_revised", revisedQuery},
		{"a pitcher's reps", "reps_by_pitcher", pitcherRepsQuery},
		{"a pitcher's throws", "reps_by_pitcher", throwsQuery},
		{"load", "COVERING INDEX bullpens_by_pitcher", throwDaysQuery},
		{"instants", "instants_by_film", instantsQuery},
		{"joints", "films_by_bullpen", jointsSeenQuery},
		{"joints", "films_by_bullpen", bullpenJointsQuery},
		{"what she usually throws", "bullpens_by_pitcher", usualQuery},
		{"bullpens before", "bullpens_by_pitcher", earlierQuery},
		{"who looks back", "bullpens_by_pitcher", lookBackQuery},
		{"weeks", "bullpens_by_pitcher", keptWeeksQuery},
		{"behind", "pitchers_behind", behindQuery},
		{"not judged yet", "bullpens_unjudged", unjudgedQuery},
		{"accepted", "reps_by_bullpen", acceptedQuery},
		{"a pitcher's latest at a glance", "bullpens_by_pitcher", latestGlancesQuery},
		{"asked about at a glance", "bullpens_asked", askedGlancesQuery},
		{"homework that waits", "homeworks_settled", homeworksQuery("homeworks_settled", `h.academy_id = ? AND h.settled = 0`)},
		{"timed by hand", "reps_timed", timedQuery},
		{"timed by what was found", "instants_by_film", timedQuery},
		{"films", "films_by_bullpen", `SELECT ` + filmFields + ` FROM films f WHERE f.bullpen_id = ? AND f.academy_id = ? ORDER BY f.position, f.id`},
		{"jobs of a bullpen", "jobs_by_bullpen", bullpenJobsQuery},
		{"pitchers", "COVERING INDEX bullpens_by_pitcher", pitchersQuery},
		{"jobs", "jobs_unfinished", jobsQuery},
		{"a clip's rep removed", "clips_by_rep", `SELECT 1 FROM clips WHERE rep_id = ?`},
		{"a film's reps", "reps_by_film", `SELECT 1 FROM reps WHERE film_id = ?`},
		{"a film's files", "files_by_film", `SELECT 1 FROM files WHERE film_id = ?`},
		{"a clip's files", "files_by_clip", `SELECT 1 FROM files WHERE clip_id = ?`},
		{"sent before", "reps_once", `SELECT 1 FROM reps WHERE bullpen_id = ? AND sent_as = ? AND sent_as <> ''`},
		{"taken out", "reps_taken_out", `SELECT id FROM reps WHERE deleted > 0 AND deleted < ?`},
	}
	for name, c := range map[string]struct {
		filter RepFilter
		index  string
	}{
		"all reps":           {RepFilter{}, "reps_by_day"},
		"of a pitch":         {RepFilter{Pitch: filter.Pitch}, "reps_by_pitch"},
		"of a pitcher":       {RepFilter{PitcherID: filter.PitcherID}, "reps_by_pitcher"},
		"her pitch":          {RepFilter{PitcherID: filter.PitcherID, Pitch: filter.Pitch}, "reps_by_pitcher_pitch"},
		"her pitch, between": {filter, "reps_by_pitcher_pitch"},
		"by verdict":         {RepFilter{Verdict: bullpen.TooSoft}, "reps_by_verdict"},
		"pitch by verdict":   {RepFilter{Verdict: bullpen.TooSoft, Pitch: filter.Pitch}, "reps_by_verdict"},
		"hers by verdict":    {RepFilter{Verdict: bullpen.TooSoft, PitcherID: filter.PitcherID}, "reps_by_pitcher"},
		"between":            {RepFilter{From: filter.From, To: filter.To}, "reps_by_day"},
	} {
		for page, p := range map[string]Page{"first": {}, "next": cursor} {
			text, args := find(c.filter, p)
			// The arguments don't change the plan; EXPLAIN wants as many.
			queries = append(queries, query{name + ", " + page, c.index, text})
			if n := strings.Count(text, "?"); n != len(args) {
				t.Fatalf("%s: %d arguments for %d places", name, len(args), n)
			}
		}
	}
	for _, bullpens := range []struct{ index, where string }{{"bullpens_by_day", ""}, {"bullpens_by_pitcher", "p"}} {
		text, _, err := bullpensQuery(s.first, bullpens.where, Page{Cursor: "2026-04-11 7 b"})
		if err != nil {
			t.Fatal(err)
		}
		queries = append(queries, query{"bullpens of " + bullpens.where, bullpens.index, text})
	}
	for _, q := range queries {
		t.Run(q.name, func(t *testing.T) {
			if !s.Ours() {
				checkPostgresPlan(t, s, q.text, q.index, asGood[q.name])
				return
			}
			plan := explainPlan(t, s, q.text)
			if !strings.Contains(plan, q.index+" ") {
				t.Errorf("does not use %s:\n%s", q.index, plan)
			}
			for line := range strings.Lines(plan) {
				if strings.HasPrefix(line, "SCAN") && !strings.HasPrefix(line, "SCAN CONSTANT ROW") || strings.Contains(line, "TEMP B-TREE") {
					t.Errorf("goes through everything:\n%s", plan)
				}
			}
		})
	}
}

// explainPlan returns SQLite's plan, a line for each step.
func explainPlan(t testing.TB, s *Store, query string) string {
	t.Helper()
	args := make([]any, strings.Count(query, "?"))
	for i := range args {
		args[i] = 1
	}
	rows, err := s.read.Query(`EXPLAIN QUERY PLAN `+query, args...)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var b strings.Builder
	for rows.Next() {
		var id, parent, x int
		var detail string
		if err := rows.Scan(&id, &parent, &x, &detail); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintln(&b, detail+" ")
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
