package store

import (
	"slices"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// All that is a pitcher's goes with her, all that is not stays, and both instructors are
// told. Tables that name an academy are one or the other: a new one has to be said here.
func TestMovePitcher(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	if err := s.SetOwner(ctx, "Robin", "x"); err != nil {
		t.Fatal(err)
	}
	sam, err := s.AddAccount(ctx, "Sam", "x")
	if err != nil {
		t.Fatal(err)
	}
	b := pen(t, s, "Kit", "2026-04-11")
	stays := pen(t, s, "Mo", "2026-04-11")
	f := ready(t, s, b, "IMG_1.mov", 90, 0)
	r := add(t, s, marked(f, 20, bullpen.Fastball))
	finished(t, s, b, r.ID, "")
	if _, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: b.PitcherID, Guardian: "her mother", Given: "2026-04-01", Covers: "films"}); err != nil {
		t.Fatal(err)
	}
	job, err := s.AddJob(ctx, NewJob{Kind: "read", Subject: f.ID, BullpenID: b.ID})
	if err != nil {
		t.Fatal(err)
	}
	if _, ok, err := s.ClaimJob(ctx, []string{"read"}, 1e9); !ok || err != nil {
		t.Fatal(ok, err)
	}
	wantCode(t, s.MovePitcher(ctx, b.PitcherID, 0, sam.ID, 0.008), bullpen.Conflict) // it is being worked at
	if err := s.EndJob(ctx, job.ID, 1, JobDone, "", 0); err != nil {
		t.Fatal(err)
	}
	wantCode(t, s.MovePitcher(ctx, "nobody", 0, sam.ID, 0.008), bullpen.NotFound)
	wantCode(t, s.MovePitcher(ctx, b.PitcherID, 0, "nobody", 0.008), bullpen.NotFound)
	wantCode(t, s.MovePitcher(Within(ctx, sam.Academy), b.PitcherID, 0, sam.ID, 0.008), bullpen.NotFound) // not hers to give
	wantCode(t, s.MovePitcher(ctx, b.PitcherID, 99, sam.ID, 0.008), bullpen.Conflict)
	_, hers, err := s.AddFieldLink(ctx, b.ID, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	_, everybodys, err := s.AddFieldLink(ctx, "", time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.MovePitcher(ctx, b.PitcherID, 0, sam.ID, 0.008); err != nil {
		t.Fatal(err)
	}
	_, _, err = s.OpenFieldLink(ctx, hers) // who has it was asked by Robin
	wantCode(t, err, bullpen.NotFound)
	if l, academy, err := s.OpenFieldLink(ctx, everybodys); err != nil || academy != s.First() || l.BullpenID != "" {
		t.Errorf("the link for all of Robin's pitchers: %+v of %s, %v", l, academy, err)
	}
	_, err = s.Pitcher(ctx, b.PitcherID)
	wantCode(t, err, bullpen.NotFound)
	_, err = s.Rep(ctx, r.ID)
	wantCode(t, err, bullpen.NotFound)
	in := Within(ctx, sam.Academy)
	if her, err := s.Pitcher(in, b.PitcherID); err != nil || her.Label != "Kit" {
		t.Errorf("with Sam: %+v, %v", her, err)
	}
	if reps, err := s.Reps(in, b.ID); err != nil || len(reps) != 1 {
		t.Errorf("her reps: %v, %v", reps, err)
	}
	if consents, err := s.Consents(in, b.PitcherID); err != nil || len(consents) != 1 {
		t.Errorf("her consents: %v, %v", consents, err)
	}
	if _, _, err := s.Bullpen(ctx, stays.ID); err != nil {
		t.Errorf("Mo went too: %v", err)
	}
	for who, want := range map[string]Move{"": {Label: "Kit", Other: "Sam"}, sam.Academy: {Label: "Kit", Other: "Robin", Came: true}} {
		within := ctx
		if who != "" {
			within = Within(ctx, who)
		}
		told, err := s.Moves(within)
		if err != nil || len(told) != 1 || told[0].Label != want.Label || told[0].Other != want.Other || told[0].Came != want.Came {
			t.Fatalf("%q is told %+v, %v", who, told, err)
		}
		if who != "" {
			wantCode(t, s.ForgetMove(ctx, told[0].ID), bullpen.NotFound) // another's
		}
		if err := s.ForgetMove(within, told[0].ID); err != nil {
			t.Error(err)
		}
	}
	goesOrStays(t, s, s.First(), b.PitcherID)
}

// goesOrStays fails for a table that names an academy and is in neither list, and for rows of
// hers that were left behind.
func goesOrStays(t *testing.T, s *Store, left, pitcherID string) {
	t.Helper()
	stays := []string{"levels", "settings", "workouts", "drills", "accounts", "sessions", "spent", "moves", "turns"}
	var names []string
	if s.Ours() {
		found, err := all(t.Context(), s.read, text, `SELECT m.name FROM sqlite_schema m JOIN pragma_table_info(m.name) c WHERE m.type = 'table' AND c.name = 'academy_id'`)
		if err != nil {
			t.Fatal(err)
		}
		names = found
	}
	goes := " "
	for _, of := range hers {
		goes += of.table + " "
	}
	for _, name := range names {
		is := 0
		for _, n := range stays {
			if n == name {
				is++
			}
		}
		if strings.Contains(goes, " "+name+" ") {
			is++
		}
		if is != 1 {
			t.Errorf("does %s go with a pitcher, or does it stay?", name)
		}
	}
	for _, of := range hers {
		var n int
		if err := s.read.QueryRow(`SELECT count(*) FROM `+of.table+` WHERE academy_id = ?1 AND (`+of.which+`)`, left, pitcherID).Scan(&n); err != nil || n > 0 {
			t.Errorf("%d rows of %s were left behind, %v", n, of.table, err)
		}
	}
}

// furnished is a pitcher with rows of nearly every kind, and a homework that was answered and
// has a film of its own.
func furnished(t *testing.T, s *Store) (b bullpen.Bullpen, h bullpen.Homework) {
	t.Helper()
	ctx := t.Context()
	h = assigned(t, s)
	if _, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: h.PitcherID, Guardian: "her mother", Given: "2026-04-01", For: bullpen.Purposes}); err != nil {
		t.Fatal(err)
	}
	pens, _, err := s.Bullpens(ctx, h.PitcherID, Page{})
	i := slices.IndexFunc(pens, func(c BullpenCard) bool { return c.ID != h.BullpenID })
	if err != nil || i < 0 {
		t.Fatal(pens, err)
	}
	b = pens[i].Bullpen
	work, _, err := s.Bullpen(ctx, h.BullpenID)
	if err != nil {
		t.Fatal(err)
	}
	ready(t, s, work, "IMG_2.mov", 90, 0)
	add(t, s, blank(h.BullpenID)) // which takes a place in the workout
	f := ready(t, s, b, "IMG_1.mov", 90, 0)
	r := marked(f, 60, bullpen.ChangeUp)
	r.Drive, r.Plant, r.Top = 45, 52, 57
	r = add(t, s, r)
	clip := finished(t, s, b, r.ID, "")
	if tell(t, s, typed(b, "entry00000000001", 1, 44)) != "" {
		t.Fatal("not taken")
	}
	joined(t, s, b, "entry00000000001")
	found := Instants{RepID: r.ID, FilmID: f.ID, Mark: 60, Slow: f.Clock.Slow, Trace: 1, Drive: FoundInstant{1.5, 0.9, true}}
	for _, err := range []error{
		s.KeepInstants(ctx, b.ID, revisionOf(t, s, b.ID), []InstantSearch{{FilmID: f.ID, Inputs: "x"}}, []Instants{found}),
		s.KeepVerdicts(ctx, []Verdicts{{BullpenID: b.ID, Revision: revisionOf(t, s, b.ID), Week: []byte("{}")}}),
		s.KeepJoints(ctx, Joints{FilmID: f.ID, First: 40, Last: 70, Version: 1, Poses: []byte{1}}, f.Box),
		s.Propose(ctx, f.ID, []Proposal{{From: 70, To: 85, Release: 80, Confidence: 0.7, Reason: "motion only"}}, FilmFindings{}, 3),
		s.KeepFieldMatch(ctx, b.ID, "x", "{}"),
		second(s.SaveDrawing(ctx, bullpen.Drawing{RepID: r.ID, Frame: 50, Shapes: []bullpen.Shape{{Kind: bullpen.LineShape, Points: []bullpen.Point{{0, 0}, {1, 1}}}}})),
		third(s.AddFieldLink(ctx, b.ID, time.Hour)),
		third(s.AddSlip(ctx, bullpen.Slip{HomeworkID: h.ID, MaxBytes: 1, MaxFiles: 1}, time.Hour)),
		third(s.AddShare(ctx, bullpen.ShareLink{BullpenID: b.ID, ClipIDs: []string{clip.ID}}, time.Hour)),
		second(s.AddJob(ctx, NewJob{Kind: "read", Subject: f.ID, BullpenID: b.ID})),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	send(t, s, h.ID)
	return b, h
}

// walk returns, by table, which rows are a pitcher's by the schema's own foreign keys: hers,
// those that name one of hers, and so on.
func walk(t *testing.T, s *Store, pitcherID string) map[string]string {
	t.Helper()
	type key struct{ table, from, parent, to string }
	keys, err := all(t.Context(), s.read, func(row scanner) (k key, err error) {
		return k, row.Scan(&k.table, &k.from, &k.parent, &k.to)
	}, `SELECT m.name, k."from", k."table", coalesce(k."to", 'id') FROM sqlite_schema m JOIN pragma_foreign_key_list(m.name) k
		WHERE m.type = 'table' AND k."table" <> m.name AND m.name NOT IN ('moves', 'drills')`) // what is told of her, and drills, are the instructors'
	if err != nil {
		t.Fatal(err)
	}
	keys = append(keys, key{"jobs", "bullpen_id", "bullpens", "id"}) // which outlives it, and is no foreign key
	which := map[string]string{"pitchers": `id = '` + pitcherID + `'`}
	for range 8 { // deeper than the schema is
		next := map[string]string{"pitchers": which["pitchers"]}
		for _, k := range keys {
			if of, ok := which[k.parent]; ok && k.table != "pitchers" {
				ids, err := all(t.Context(), s.read, text, `SELECT DISTINCT `+k.to+` FROM `+k.parent+` WHERE `+of)
				if err != nil {
					t.Fatal(err)
				}
				in := k.from + ` IN ('` + strings.Join(ids, `', '`) + `')`
				if next[k.table] != "" {
					in = next[k.table] + ` OR ` + in
				}
				next[k.table] = in
			}
		}
		which = next
	}
	return which
}

// All that hangs on a pitcher, by the schema's foreign keys and not by the list that moves
// it, is the other instructor's afterwards.
func TestAllOfHersMoves(t *testing.T) {
	s := fresh(t)
	if !s.Ours() {
		return // its schema is asked as SQLite tells it, and TestSchemasAreTheSame compares
	}
	ctx := t.Context()
	sam, err := s.AddAccount(ctx, "Sam", "x")
	if err != nil {
		t.Fatal(err)
	}
	b, _ := furnished(t, s)
	before := map[string]int{}
	names, err := all(ctx, s.read, text, `SELECT m.name FROM sqlite_schema m JOIN pragma_table_info(m.name) c WHERE m.type = 'table' AND c.name = 'academy_id'`)
	if err != nil {
		t.Fatal(err)
	}
	count := func(table, which, academy string) (n int) {
		t.Helper()
		if err := s.read.QueryRow(`SELECT count(*) FROM `+table+` WHERE academy_id = ? AND (`+which+`)`, academy).Scan(&n); err != nil {
			t.Fatal(table, err)
		}
		return n
	}
	which := walk(t, s, b.PitcherID)
	for _, of := range hers {
		if of.table == "accepted" {
			continue // none was made of hers here
		}
		if which[of.table] == "" || !slices.Contains(names, of.table) {
			t.Errorf("%s is moved and hangs on no pitcher", of.table)
			continue
		}
		if before[of.table] = count(of.table, which[of.table], s.First()); before[of.table] == 0 {
			t.Errorf("there is nothing of hers in %s to move", of.table)
		}
	}
	if err := s.MovePitcher(ctx, b.PitcherID, 0, sam.ID, 0.008); err != nil {
		t.Fatal(err)
	}
	for table, of := range which {
		if !slices.Contains(names, table) {
			continue
		}
		if left := count(table, of, s.First()); left > 0 {
			t.Errorf("%d rows of %s were left behind", left, table)
		}
		if came := count(table, of, sam.Academy); came != before[table] {
			t.Errorf("of %d rows of %s %d came", before[table], table, came)
		}
	}
}

// What was settled with one instructor is not settled with another: consents count no more,
// links are closed, originals wait for her own answer, and marks are as unsure as they were.
func TestMoveUnsettles(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	if err := s.SetOwner(ctx, "Robin", "x"); err != nil {
		t.Fatal(err)
	}
	sam, err := s.AddAccount(ctx, "Sam", "x")
	if err != nil {
		t.Fatal(err)
	}
	b, h := furnished(t, s)
	_, slip, err := s.AddSlip(ctx, bullpen.Slip{HomeworkID: h.ID, MaxBytes: 1, MaxFiles: 1}, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	_, share, err := s.AddShare(ctx, bullpen.ShareLink{BullpenID: b.ID}, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if eye, err := s.MovedEye(ctx, b.ID); err != nil || eye != 0 {
		t.Errorf("before: %v, %v", eye, err)
	}
	if err := s.MovePitcher(ctx, b.PitcherID, 0, sam.ID, 0.012); err != nil {
		t.Fatal(err)
	}
	in := Within(ctx, sam.Academy)
	given, err := s.Consents(in, b.PitcherID)
	if err != nil || len(given) != 1 || given[0].GivenTo != "Robin" || given[0].Withdrawn != 0 || len(bullpen.Standing(given)) != 0 {
		t.Errorf("consents: %+v, %v", given, err)
	}
	_, _, err = s.OpenSlip(ctx, slip)
	wantCode(t, err, bullpen.NotFound)
	_, _, err = s.OpenShare(ctx, share)
	wantCode(t, err, bullpen.NotFound)
	_, _, err = s.AddSlip(in, bullpen.Slip{HomeworkID: h.ID, MaxBytes: 1, MaxFiles: 1}, time.Hour)
	if err == nil {
		t.Error("a slip is made without the guardian's being asked again")
	}
	if _, err := s.AddConsent(in, bullpen.Consent{PitcherID: b.PitcherID, Guardian: "her mother", Given: "2026-04-20", For: bullpen.Purposes}); err != nil {
		t.Fatal(err)
	}
	if yes, err := s.Consented(in, b.PitcherID, bullpen.ForHomework); err != nil || !yes {
		t.Errorf("asked again: %v, %v", yes, err)
	}
	later := time.Now().Add(365 * 24 * time.Hour).UnixMicro()
	if loose, err := s.TrimHomework(in, later); err != nil || len(loose) != 0 {
		t.Errorf("by a setting that was never hers go %v, %v", loose, err)
	}
	again, err := s.Homework(in, h.ID)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.SendReply(in, again, nil, nil); err != nil {
		t.Fatal(err)
	}
	if loose, err := s.TrimHomework(in, later); err != nil || len(loose) == 0 {
		t.Errorf("answered by Sam, and %v go, %v", loose, err)
	}
	if eye, err := s.MovedEye(in, b.ID); err != nil || eye != 0.012 {
		t.Errorf("she marks within %v, %v", eye, err)
	}
}
