package store

import (
	"slices"
	"testing"

	"tenoff/internal/bullpen"
)

// TestRemove takes a film, a bullpen and a pitcher away: what was counted before is
// what goes, and nothing of it stays anywhere.
func TestRemove(t *testing.T) {
	s := fresh(t)
	hers, others := pen(t, s, "Kit", "2026-04-11"), pen(t, s, "Mo", "2026-04-12")
	film := ready(t, s, hers, "a.mov", 100, 0)
	unread := reading(t, s, hers, "b.mov", "b")
	theirs := ready(t, s, others, "c.mov", 100, 0)
	r, mo := add(t, s, marked(film, 10, bullpen.ChangeUp)), add(t, s, marked(theirs, 10, bullpen.Fastball))
	add(t, s, unmarked(hers, bullpen.Fastball, 50))
	single, pair, stays := finished(t, s, hers, r.ID, ""), finished(t, s, others, mo.ID, r.ID), finished(t, s, others, mo.ID, "")
	if err := s.Propose(t.Context(), film.ID, []Proposal{{From: 40, To: 60, Release: 50, Confidence: 0.9, Reason: "motion only"}}, FilmFindings{}, 3); err != nil {
		t.Fatal(err)
	}

	would, err := s.Would(t.Context(), "film", film.ID)
	if err != nil || would.Films != 1 || would.Clips != 2 || would.Reps != 0 || would.Bytes() != 1000+300+20+3+2*7 {
		t.Errorf("a film would take %+v, %v", would, err)
	}
	did, err := s.RemoveFilm(t.Context(), film.ID, film.Version)
	same(t, did, would, err)
	bare, err := s.Rep(t.Context(), r.ID)
	if err != nil || bare.FilmID != "" || bare.Release != bullpen.Unmarked || bare.Reading == nil {
		t.Errorf("without its film: %+v, %v", bare, err)
	}
	for _, id := range []string{single.ID, pair.ID} {
		_, err := s.Clip(t.Context(), id)
		wantCode(t, err, bullpen.NotFound)
	}
	loose, err := s.LooseFiles(t.Context())
	if err != nil || !slices.Equal(loose, would.Files) {
		t.Errorf("loose: %v, %v", loose, err)
	}

	would, err = s.Would(t.Context(), "pitcher", hers.PitcherID)
	if err != nil || would.Bullpens != 1 || would.Films != 1 || would.Reps != 2 || would.Bytes() != 1000 {
		t.Errorf("a pitcher would take %+v, %v", would, err)
	}
	_, err = s.RemovePitcher(t.Context(), hers.PitcherID, 9, Whatever)
	wantCode(t, err, bullpen.Conflict)
	did, err = s.RemovePitcher(t.Context(), hers.PitcherID, 0, Whatever)
	same(t, did, would, err)
	_, err = s.RemovePitcher(t.Context(), hers.PitcherID, 0, Whatever)
	wantCode(t, err, bullpen.NotFound)
	_, err = s.Would(t.Context(), "pitcher", hers.PitcherID)
	wantCode(t, err, bullpen.NotFound)
	_, err = s.Would(t.Context(), "academie", hers.PitcherID)
	wantCode(t, err, bullpen.NotFound)
	for table, want := range map[string]int{"pitchers": 1, "bullpens": 1, "films": 1, "reps": 1, "clips": 1, "proposals": 0} {
		var n int
		if err := s.read.QueryRow(`SELECT count(*) FROM ` + table).Scan(&n); err != nil || n != want {
			t.Errorf("%d %s left (%v), want %d", n, table, err, want)
		}
	}
	jobs, err := s.Jobs(t.Context(), "")
	if err != nil || slices.ContainsFunc(jobs, func(j Job) bool { return j.Subject == unread.ID }) {
		t.Errorf("a job for what is gone: %+v, %v", jobs, err)
	}
	named, err := s.NamedFiles(t.Context())
	if err != nil || len(named) != 5 || named[0].Key != "clips/"+stays.ID+"/1/clip.mp4" {
		t.Errorf("named: %v, %v", named, err)
	}

	would, err = s.Would(t.Context(), "clip", stays.ID)
	if err != nil || would.Clips != 1 || would.Bytes() != 7 {
		t.Errorf("a clip would take %+v, %v", would, err)
	}
	did, err = s.RemoveClip(t.Context(), stays.ID)
	same(t, did, would, err)
	would, err = s.Would(t.Context(), "bullpen", others.ID)
	if err != nil || would.Bullpens != 1 || would.Films != 1 || would.Reps != 1 {
		t.Errorf("a bullpen would take %+v, %v", would, err)
	}
	did, err = s.RemoveBullpen(t.Context(), others.ID, others.Version, Whatever)
	same(t, did, would, err)
	if named, err = s.NamedFiles(t.Context()); err != nil || len(named) != 0 {
		t.Errorf("named: %v, %v", named, err)
	}
}
