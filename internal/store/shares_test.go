package store

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// A link to a result lasts as long as it says; one that was closed because a backup was
// brought back opens again when it is renewed, one that somebody closed does not.
func TestShares(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	b := pen(t, s, "Kit", "2026-04-11")
	if _, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: b.PitcherID, Guardian: "her mother", Given: "2026-04-01", Covers: "results", For: bullpen.Purposes}); err != nil {
		t.Fatal(err)
	}
	share := bullpen.ShareLink{BullpenID: b.ID}
	old, _, err := s.AddShare(ctx, share, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	open, token, err := s.AddShare(ctx, share, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	back := s
	if s.Ours() { // a copy of the file is brought back
		dir := t.TempDir()
		if err := s.CopyTo(ctx, filepath.Join(dir, Database)); err != nil {
			t.Fatal(err)
		}
		if c, err := CloseAllIn(ctx, filepath.Join(dir, Database)); err != nil || c.Links != 1 {
			t.Fatalf("%+v, %v", c, err)
		}
		back = at(t, dir)
		if _, _, err := back.OpenShare(ctx, token); err != error(errNoLink) {
			t.Errorf("brought back: %v", err)
		}
	}
	if _, err := back.RenewShare(ctx, open.ID, time.Hour); err != nil {
		t.Fatal(err)
	}
	_, err = back.RenewShare(ctx, old.ID, time.Hour)
	wantCode(t, err, bullpen.Conflict)
	if got, academy, err := back.OpenShare(ctx, token); err != nil || got.ID != open.ID || academy != back.first {
		t.Errorf("renewed: %+v of %s, %v", got, academy, err)
	}
	back.now = func() time.Time { return time.Now().Add(2 * time.Hour) }
	if _, _, err := back.OpenShare(ctx, token); err != error(errNoLink) {
		t.Errorf("expired: %v", err)
	}
}

// A yes to one thing is none to another: homework opens no result, results open no
// homework, neither makes an example, and withdrawing one ends what it alone was for.
func TestAConsentIsForWhatItSays(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	h := assigned(t, s)
	slip, share := bullpen.Slip{HomeworkID: h.ID, MaxBytes: 1, MaxFiles: 1}, bullpen.ShareLink{BullpenID: h.BullpenID}
	yes := func(to ...bullpen.Purpose) bullpen.Consent {
		t.Helper()
		c, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: h.PitcherID, Guardian: "her mother", Given: "2026-04-01", For: to})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	homework := yes(bullpen.ForHomework)
	if _, _, err := s.AddSlip(ctx, slip, time.Hour); err != nil {
		t.Fatal(err)
	}
	_, _, err := s.AddShare(ctx, share, time.Hour)
	wantCode(t, err, bullpen.Invalid)
	results := yes(bullpen.ForResults)
	_, token, err := s.AddShare(ctx, share, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if examples, err := s.Consented(ctx, h.PitcherID, bullpen.ForExamples); err != nil || examples {
		t.Errorf("a yes to homework and results is one to examples, %v", err)
	}
	if _, n, err := s.WithdrawConsent(ctx, homework.ID); err != nil || n != 1 {
		t.Errorf("homework withdrawn: %d links closed, %v", n, err)
	}
	if _, _, err := s.OpenShare(ctx, token); err != nil {
		t.Errorf("the result closed with the homework: %v", err)
	}
	_, _, err = s.AddSlip(ctx, slip, time.Hour)
	wantCode(t, err, bullpen.Invalid)
	if _, n, err := s.WithdrawConsent(ctx, results.ID); err != nil || n != 1 {
		t.Errorf("results withdrawn: %d links closed, %v", n, err)
	}
	b, _, err := s.Bullpen(ctx, h.BullpenID)
	if err != nil {
		t.Fatal(err)
	}
	f := ready(t, s, b, "IMG_1.mov", 90, 0)
	drill := bullpen.Drill{Name: "Towel", ClipID: finished(t, s, b, add(t, s, valued(marked(f, 60, bullpen.ChangeUp), 45)).ID, "").ID}
	_, err = s.AddDrill(ctx, drill)
	wantCode(t, err, bullpen.Invalid)
	examples := yes(bullpen.ForExamples)
	if drill, err = s.AddDrill(ctx, drill); err != nil {
		t.Fatal(err)
	}
	if _, n, err := s.WithdrawConsent(ctx, examples.ID); err != nil || n != 0 {
		t.Errorf("examples withdrawn: %d links closed, %v", n, err)
	}
	if got, err := s.Drill(ctx, drill.ID); err != nil || got.ClipID != "" || got.Version == drill.Version {
		t.Errorf("examples withdrawn: %+v, %v", got, err)
	}
	all, err := s.Consents(ctx, h.PitcherID)
	if err != nil || len(all) != 3 || len(bullpen.Standing(all)) != 0 || len(all[1].For) != 1 || all[1].For[0] != bullpen.ForResults {
		t.Errorf("%+v, %v", all, err)
	}
}

// What was recorded before purposes were asked for is for what its words say: the form's
// own words for one of them, anybody else's for homework and results, none for examples.
func TestConsentsOfBefore(t *testing.T) {
	now := current(t)
	asked := slices.IndexFunc(now, func(step string) bool { return strings.Contains(step, "ADD COLUMN for_examples") })
	dir := t.TempDir()
	s, err := openAt(t, dir, now[:asked]...)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.write.Exec(`INSERT INTO pitchers (id, academy_id, version, created, label, hand, level, distance_feet, extension_feet, ball_kind, baseline_pitch,
		policy, typed_baseline, gun_tolerance, bands, trust_rule, unit) VALUES ('kit', ?, 1, 1, 'Kit', 'right', '', 40, 5, '', 'fb', 'mean', 0, 1, '{}', '', 'mph')`, s.first); err != nil {
		t.Fatal(err)
	}
	for i, covers := range []string{"Films of her homework, seen by her instructor alone, and clips sent back to her.", "Her results and clips of single bullpens, shown by private links to her and her parents.", "all of it"} {
		if _, err := s.write.Exec(`INSERT INTO consents (id, academy_id, pitcher_id, created, guardian, given, covers, withdrawn) VALUES (?, ?, 'kit', ?, 'her mother', '2026-04-01', ?, 0)`, i, s.first, -i, covers); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if s, err = openAt(t, dir, now...); err != nil {
		t.Fatal(err)
	}
	all, err := s.Consents(t.Context(), "kit")
	if err != nil || len(all) != 3 {
		t.Fatalf("%+v, %v", all, err)
	}
	for i, want := range [][]bullpen.Purpose{{bullpen.ForHomework}, {bullpen.ForResults}, {bullpen.ForHomework, bullpen.ForResults}} {
		if !slices.Equal(all[i].For, want) {
			t.Errorf("%q is for %v, want %v", all[i].Covers, all[i].For, want)
		}
	}
}

// What no consent stands for, once consents say what they are for, is over: examples until
// they are asked for anew, and links, as when a consent is withdrawn.
func TestNothingGoesOnWithoutItsConsent(t *testing.T) {
	s, onward := atSchema(t, 22)
	ctx := t.Context()
	exec := func(query string, args ...any) {
		t.Helper()
		if _, err := s.write.Exec(query, args...); err != nil {
			t.Fatal(err)
		}
	}
	type her struct {
		covers            string
		shown, films      bool // what her guardian's words stand for
		share, slip, work string
	}
	all := map[string]*her{
		"homework": {covers: "Films of her homework, seen by her instructor alone, and clips sent back to her.", films: true},
		"results":  {covers: "Her results and clips of single bullpens, shown by private links to her and her parents.", shown: true},
		"both":     {covers: "all of it", shown: true, films: true},
		"taken":    {covers: ""},
	}
	const far = int64(1) << 60
	for label, x := range all {
		b := pen(t, s, label, "2026-04-11")
		h, err := s.AddHomework(ctx, bullpen.Homework{}, bullpen.Bullpen{PitcherID: b.PitcherID, Day: "2026-04-12"})
		if err != nil {
			t.Fatal(err)
		}
		x.work = h.ID
		withdrawn := 0
		if x.covers == "" {
			withdrawn = 1
		}
		exec(`INSERT INTO consents (id, academy_id, pitcher_id, created, guardian, given, covers, withdrawn) VALUES (?, ?, ?, 1, 'her mother', '2026-04-01', ?, ?)`, newID(), s.first, b.PitcherID, x.covers, withdrawn)
		for _, closed := range []int{1, 0} { // one by a backup that was brought back; the other is open
			token, hash := secret()
			x.share = token
			exec(`INSERT INTO shares (id, academy_id, bullpen_id, token, created, expires, closed, restored, last_used) VALUES (?, ?, ?, ?, 1, ?, ?, ?, 0)`, newID(), s.first, b.ID, hash, far, closed, closed)
			x.slip, hash = secret()
			exec(`INSERT INTO slips (id, academy_id, homework_id, token, created, expires, closed, restored, last_used, max_bytes, max_files) VALUES (?, ?, ?, ?, 1, ?, ?, ?, 0, 1, 1)`, newID(), s.first, h.ID, hash, far, closed, closed)
		}
		if label == "both" {
			exec(`INSERT INTO reps (id, academy_id, bullpen_id, pitcher_id, day, version, created, deleted, drive, plant, top, "release", place, pitch, unit, step, gun, drill, set_number, number, called, warm_up, note)
				VALUES ('shown', ?, ?, ?, ?, 1, 1, 0, -1, -1, -1, -1, 1, 'ch', '', 1, '', '', 0, 0, '', 0, '')`, s.first, b.ID, b.PitcherID, b.Day)
			exec(`INSERT INTO clips (id, academy_id, bullpen_id, created, kind, rep_id, options, shows, state, problem, file_name, bytes, seconds, release_at, made, job_id)
				VALUES ('clip', ?, ?, 1, 'single', 'shown', '{}', '', 'ready', '', 'a.mp4', 1, 1, 0, '{}', '')`, s.first, b.ID)
			exec(`INSERT INTO drills (id, academy_id, version, created, name, how_to, clip_id) VALUES ('towel', ?, 1, 1, 'Towel', '', 'clip')`, s.first)
			exec(`UPDATE homeworks SET sent = '{"sentAt":8}', student = '{"PainAt":9}' WHERE id = ?`, h.ID) // rubbed out
		} else {
			exec(`UPDATE homeworks SET sent = '{"sentAt":8}' WHERE id = ?`, h.ID)
		}
	}
	s = onward()
	for label, x := range all {
		if _, _, err := s.OpenShare(ctx, x.share); (err == nil) != x.shown {
			t.Errorf("%s: her result opens: %v", label, err)
		}
		if _, _, err := s.OpenSlip(ctx, x.slip); (err == nil) != x.films {
			t.Errorf("%s: her slip opens: %v", label, err)
		}
		for table, stands := range map[string]bool{"shares": x.shown, "slips": x.films} {
			of := map[string]string{"shares": "bullpen_id IN (SELECT b.id FROM bullpens b JOIN pitchers p ON p.id = b.pitcher_id WHERE p.label = ?)", "slips": "homework_id IN (SELECT h.id FROM homeworks h JOIN pitchers p ON p.id = h.pitcher_id WHERE p.label = ?)"}[table]
			var n int
			if err := s.read.QueryRow(`SELECT count(*) FROM `+table+` WHERE restored = 1 AND `+of, label).Scan(&n); err != nil || (n == 1) != stands {
				t.Errorf("%s: %d of her %s open when they are renewed, %v", label, n, table, err)
			}
		}
	}
	if d, err := s.Drill(ctx, "towel"); err != nil || d.ClipID != "" || d.Version != 2 {
		t.Errorf("the example: %+v, %v", d, err)
	}
	if waits, err := s.Inbox(ctx, 0); err != nil || len(waits) != 1 || waits[0].ID != all["both"].work {
		t.Errorf("words about pain that were rubbed out: %+v, %v", waits, err)
	}
}

// A clip that was chosen is shown only as long as it shows nobody else and its reps are
// logged.
func TestSharedClipsShowNobodyElse(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	b, other := pen(t, s, "Kit", "2026-04-11"), pen(t, s, "Jay", "2026-04-12")
	for _, id := range []string{b.PitcherID, other.PitcherID} {
		if _, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: id, Guardian: "her mother", Given: "2026-04-01", Covers: "results", For: bullpen.Purposes}); err != nil {
			t.Fatal(err)
		}
	}
	f, g := ready(t, s, b, "IMG_1.mov", 90, 0), ready(t, s, other, "IMG_2.mov", 90, 0)
	fast, off := add(t, s, valued(marked(f, 20, bullpen.Fastball), 55)), add(t, s, valued(marked(f, 60, bullpen.ChangeUp), 45))
	hers := add(t, s, valued(marked(g, 20, bullpen.Fastball), 55))
	single, pair, mixed := finished(t, s, b, off.ID, ""), finished(t, s, b, off.ID, fast.ID), finished(t, s, b, off.ID, hers.ID)
	_, _, err := s.AddShare(ctx, bullpen.ShareLink{BullpenID: b.ID, ClipIDs: []string{single.ID, mixed.ID}}, time.Hour)
	wantCode(t, err, bullpen.Invalid)
	_, _, err = s.AddShare(ctx, bullpen.ShareLink{BullpenID: other.ID, ClipIDs: []string{single.ID}}, time.Hour)
	wantCode(t, err, bullpen.Invalid)
	_, token, err := s.AddShare(ctx, bullpen.ShareLink{BullpenID: b.ID, ClipIDs: []string{pair.ID, single.ID}}, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	shows := func(what string, want ...string) {
		t.Helper()
		got, _, err := s.OpenShare(ctx, token)
		if err != nil || len(got.ClipIDs) != len(want) {
			t.Fatalf("%s: %v, %v, want %v", what, got.ClipIDs, err, want)
		}
		for i := range want {
			if got.ClipIDs[i] != want[i] {
				t.Errorf("%s: %v, want %v", what, got.ClipIDs, want)
			}
		}
	}
	shows("as chosen", pair.ID, single.ID)
	if _, err := s.RemoveRep(ctx, fast.ID, 0); err != nil {
		t.Fatal(err)
	}
	shows("a rep taken out", single.ID)
	if _, err := s.write.Exec(`UPDATE reps SET pitcher_id = ? WHERE id = ?`, other.PitcherID, off.ID); err != nil {
		t.Fatal(err)
	}
	shows("a rep that is another's")
}
