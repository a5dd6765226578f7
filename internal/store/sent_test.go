package store

import (
	"errors"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// copied is a copy of a clip as the shelf would make it.
func copied(c Clip) ClipCopy {
	id := NewClipID()
	return ClipCopy{ID: id, Of: c.ID, Was: c.Made, Made: "{}", Files: []File{{Key: "clips/" + id + "/1/clip.mp4", Bytes: 7}}}
}

// send sends the homework's answer with copies of clips and returns the homework.
func send(t *testing.T, s *Store, id string, copies ...ClipCopy) (bullpen.Homework, []File) {
	t.Helper()
	h, err := s.Homework(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	_, loose, err := s.SendReply(t.Context(), h, nil, copies)
	if err != nil {
		t.Fatal(err)
	}
	if h, err = s.Homework(t.Context(), id); err != nil {
		t.Fatal(err)
	}
	return h, loose
}

// What went with an answer stays, whatever becomes of the clip on the shelf, until
// another answer takes its place or what it shows is deleted.
func TestSentClips(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	work := assigned(t, s)
	pens, _, err := s.Bullpens(ctx, work.PitcherID, Page{})
	if err != nil || len(pens) != 2 {
		t.Fatal(pens, err)
	}
	other := pens[slices.IndexFunc(pens, func(c BullpenCard) bool { return c.ID != work.BullpenID })].Bullpen
	film := ready(t, s, bullpen.Bullpen{ID: work.BullpenID}, "a.mov", 100, 0)
	r, mo := add(t, s, marked(film, 10, bullpen.ChangeUp)), add(t, s, unmarked(other, bullpen.Fastball, 55))
	clip, pair := finished(t, s, bullpen.Bullpen{ID: work.BullpenID}, r.ID, ""), finished(t, s, other, mo.ID, r.ID)
	has := func(what, id string, want bool) {
		t.Helper()
		_, err := s.SentClip(ctx, work.ID, id)
		named, e := s.NamedFiles(ctx)
		file := slices.ContainsFunc(named, func(f File) bool { return f.Key == "clips/"+id+"/1/clip.mp4" })
		if e != nil || (err == nil) != want || file != want {
			t.Errorf("%s: row %v, file %v, %v", what, err, file, e)
		}
	}

	one, two := copied(clip), copied(pair)
	h, loose := send(t, s, work.ID, one, two)
	if len(loose) != 0 || h.Sent.Copies[clip.ID] != one.ID || h.Sent.Copies[pair.ID] != two.ID {
		t.Errorf("sent %+v, loose %v", h.Sent, loose)
	}
	clips, err := s.Clips(ctx, work.BullpenID)
	same(t, clips, []Clip{clip}, err)
	again := clip
	again.Made = `{"made":"again"}`
	if _, err := s.FinishClip(ctx, again, []File{{Key: "clips/" + clip.ID + "/2/clip.mp4", Bytes: 9}}); err != nil {
		t.Fatal(err)
	}
	has("made again", one.ID, true)
	_, _, err = s.SendReply(ctx, h, nil, []ClipCopy{copied(clip)})
	if !errors.Is(err, error(ErrMadeAgain)) {
		t.Errorf("a copy of what is no longer there: %v", err)
	}
	has("after an answer that was not sent", one.ID, true)
	if _, err := s.RemoveClip(ctx, clip.ID); err != nil {
		t.Fatal(err)
	}
	has("off the shelf", one.ID, true)

	// A rep that was taken out waits with its purge for the answer that shows it.
	if _, err := s.RemoveRep(ctx, r.ID, 0); err != nil {
		t.Fatal(err)
	}
	if loose, err := s.PurgeReps(ctx, time.Now().Add(time.Hour)); err != nil || len(loose) != 0 {
		t.Errorf("purged %v, %v", loose, err)
	}
	has("its rep taken out", one.ID, true)
	_, loose = send(t, s, work.ID)
	if !slices.ContainsFunc(loose, func(f File) bool { return f.Key == one.Files[0].Key }) || len(loose) != 2 {
		t.Errorf("another answer lets go of %v", loose)
	}
	has("another answer", one.ID, false)
	if loose, err := s.PurgeReps(ctx, time.Now().Add(time.Hour)); err != nil || len(loose) != 1 { // the pair's
		t.Errorf("purged %v, %v", loose, err)
	}

	// Deleting what it shows, or the homework, takes it away, counted by itself.
	r = add(t, s, marked(film, 20, bullpen.Fastball))
	for _, c := range []struct {
		what, id string
		of       Clip
		remove   func() (Removal, error)
	}{
		{"film", film.ID, finished(t, s, bullpen.Bullpen{ID: work.BullpenID}, r.ID, ""), func() (Removal, error) { return s.RemoveFilm(ctx, film.ID, 0) }},
		{"bullpen", work.BullpenID, finished(t, s, other, mo.ID, ""), func() (Removal, error) { return s.RemoveBullpen(ctx, work.BullpenID, 0, Whatever) }},
	} {
		kept := copied(c.of)
		send(t, s, work.ID, kept)
		would, err := s.Would(ctx, c.what, c.id)
		if err != nil || would.Copies != 1 {
			t.Errorf("%s: would take %+v, %v", c.what, would, err)
		}
		did, err := c.remove()
		same(t, did, would, err)
		has("its "+c.what+" deleted", kept.ID, false)
	}
}

// A deletion that nobody agrees to, having heard what goes, removes nothing.
func TestDisagreed(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	no := errors.New("no")
	_, err := s.RemovePitcher(t.Context(), b.PitcherID, 0, func(r Removal) error {
		if r.Bullpens != 1 {
			t.Errorf("%+v", r)
		}
		return no
	})
	if !errors.Is(err, no) {
		t.Error(err)
	}
	if _, err := s.Pitcher(t.Context(), b.PitcherID); err != nil {
		t.Error(err)
	}
}

// A slip that was closed because a backup was brought back opens again when it is
// renewed; one that somebody closed does not, before or after.
func TestRenewRestored(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	h := assigned(t, s)
	consent, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: h.PitcherID, Guardian: "her mother", Given: "2026-04-01", Covers: "homework", For: bullpen.Purposes})
	if err != nil {
		t.Fatal(err)
	}
	slip := bullpen.Slip{HomeworkID: h.ID, MaxBytes: 1, MaxFiles: 1}
	old, _, err := s.AddSlip(ctx, slip, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	open, token, err := s.AddSlip(ctx, slip, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	brought := func() *Store {
		t.Helper()
		dir := t.TempDir()
		if err := s.CopyTo(ctx, filepath.Join(dir, Database)); err != nil {
			t.Fatal(err)
		}
		if c, err := CloseAllIn(ctx, filepath.Join(dir, Database)); err != nil || c.Links != 1 {
			t.Fatalf("%+v, %v", c, err)
		}
		return at(t, dir)
	}
	opens := func(what string, s *Store, want bool) {
		t.Helper()
		if _, _, err := s.OpenSlip(ctx, token); (err == nil) != want {
			t.Errorf("%s: %v", what, err)
		}
	}
	for what, close := range map[string]func(*Store) error{
		"nobody": func(*Store) error { return nil },
		"revoked": func(s *Store) error {
			_, err := s.RevokeSlip(ctx, open.ID)
			return err
		},
		"another made": func(s *Store) error {
			_, _, err := s.AddSlip(ctx, slip, time.Hour)
			return err
		},
		"consent withdrawn": func(s *Store) error {
			if _, _, err := s.WithdrawConsent(ctx, consent.ID); err != nil {
				return err
			}
			_, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: h.PitcherID, Guardian: "her mother", Given: "2026-05-01", Covers: "homework", For: bullpen.Purposes})
			return err
		},
	} {
		back := brought()
		opens("brought back", back, false)
		if err := close(back); err != nil {
			t.Fatal(err)
		}
		p, err := back.RenewSlip(ctx, open.ID, time.Hour)
		if what == "nobody" {
			if err != nil || p.Closed != 0 || p.Restored {
				t.Errorf("renewed: %+v, %v", p, err)
			}
			opens("renewed", back, true)
		} else {
			wantCode(t, err, bullpen.Conflict)
			opens(what, back, false)
		}
		_, err = back.RenewSlip(ctx, old.ID, time.Hour)
		wantCode(t, err, bullpen.Conflict)
	}
}

// A backup of an older program tells no slip that a restore closed from one that was
// revoked. It is brought up to date on its way back, so that every slip that was open
// can be renewed, with the link that the student has, and no other.
func TestRenewRestoredFromBefore(t *testing.T) {
	ctx, now := t.Context(), current(t)
	for _, schema := range []int{3, 7} { // the first with slips, the last that could not tell
		dir := t.TempDir()
		s, err := openAt(t, dir, now[:schema]...)
		if err != nil {
			t.Fatal(err)
		}
		tokens := map[string]string{}
		const far = int64(1) << 60
		then := time.Now().UnixMicro()
		insert := func(query string, args ...any) {
			t.Helper()
			if _, err := s.write.Exec(query, args...); err != nil {
				t.Fatal(err)
			}
		}
		insert(`INSERT INTO pitchers (id, academy_id, version, created, label, hand, level, distance_feet, extension_feet, ball_kind, baseline_pitch,
			policy, typed_baseline, gun_tolerance, bands, trust_rule, unit) VALUES ('kit', ?, 1, 1, 'Kit', 'right', '', 40, 5, '', 'fb', 'mean', 0, 1, '{}', '', 'mph')`, s.first)
		insert(`INSERT INTO bullpens (id, academy_id, pitcher_id, version, revision, created, day, day_said, title, gun, unit, step, note)
			VALUES ('pen', ?, 'kit', 1, 1, 1, '2026-04-11', 1, '', '', 'mph', 1, '')`, s.first)
		insert(`INSERT INTO homeworks (id, academy_id, pitcher_id, bullpen_id, version, created, workout, drills, due, student, draft, sent, film_at, review_at, trimmed)
			VALUES ('work', ?, 'kit', 'pen', 1, 1, '{}', '[]', '', '{}', '{}', '{}', 0, 0, 0)`, s.first)
		insert(`INSERT INTO consents (id, academy_id, pitcher_id, created, guardian, given, covers, withdrawn) VALUES ('yes', ?, 'kit', 1, 'her mother', '2026-04-01', '', 0)`, s.first)
		for id, slip := range map[string]struct{ expires, closed int64 }{"open": {far, 0}, "revoked": {far, then}, "expired": {2, 0}} {
			token, hash := secret()
			tokens[id] = token
			insert(`INSERT INTO slips (id, academy_id, homework_id, token, created, expires, closed, last_used, max_bytes, max_files)
				VALUES (?, ?, 'work', ?, 1, ?, ?, 0, 1, 1)`, id, s.first, hash, slip.expires, slip.closed)
		}
		dir = t.TempDir()
		if err := errors.Join(s.CopyTo(ctx, filepath.Join(dir, Database)), s.Close()); err != nil {
			t.Fatal(err)
		}
		if c, err := CloseAllIn(ctx, filepath.Join(dir, Database)); err != nil || c != (Closed{Links: 1}) {
			t.Fatalf("schema %d: %+v, %v", schema, c, err)
		}
		if beside, err := filepath.Glob(filepath.Join(dir, "*")); err != nil || len(beside) != 1 {
			t.Errorf("schema %d: %v, %v", schema, beside, err)
		}
		s = at(t, dir)
		for id, token := range tokens {
			if _, _, err := s.OpenSlip(ctx, token); bullpen.CodeOf(err) != bullpen.NotFound {
				t.Errorf("schema %d: the slip that was %s opens something: %v", schema, id, err)
			}
			_, err := s.RenewSlip(ctx, id, time.Hour)
			_, _, opens := s.OpenSlip(ctx, token)
			if renewed := id != "revoked"; (err == nil) != renewed || (opens == nil) != renewed {
				t.Errorf("schema %d: the slip that was %s, renewed: %v, %v", schema, id, err, opens)
			}
		}
	}
}
