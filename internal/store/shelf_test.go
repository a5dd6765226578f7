package store

import (
	"testing"

	"tenoff/internal/bullpen"
)

func TestClips(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "a.mov", 100, 0)
	off, fast := add(t, s, marked(f, 60, bullpen.ChangeUp)), add(t, s, marked(f, 20, bullpen.Fastball))
	first := finished(t, s, b, off.ID, "")
	pair := finished(t, s, b, off.ID, fast.ID)
	second := finished(t, s, b, fast.ID, "")
	clips, err := s.Clips(t.Context(), b.ID)
	same(t, clips, []Clip{second, first, pair}, err)

	// Rendered anew: the old file stays until the new one is there.
	first.Options = `{"slow":true}`
	again, err := s.QueueClip(t.Context(), first, NewJob{Kind: "render clip", Payload: "{}"})
	if err != nil || again.ID != first.ID || again.State != "queued" {
		t.Fatalf("%+v, %v", again, err)
	}
	twice, err := s.QueueClip(t.Context(), first, NewJob{Kind: "render clip", Payload: "{}"})
	if err != nil || twice.JobID != again.JobID {
		t.Errorf("queued twice: jobs %s and %s, %v", again.JobID, twice.JobID, err)
	}
	if c, err := s.Clip(t.Context(), first.ID); err != nil || c.Made != first.Made || c.Shows != first.Shows {
		t.Errorf("what was made is gone too early: %+v, %v", c, err)
	}
	loose, err := s.FinishClip(t.Context(), again, []File{{Key: "clips/" + first.ID + "/2/clip.mp4", Bytes: 9}})
	same(t, loose, []File{{Key: "clips/" + first.ID + "/1/clip.mp4", Bytes: 7}}, err)

	// The first page counts what the shelf shows, also while one is rendered anew and
	// when a rep was taken out.
	counts := func(want int) {
		t.Helper()
		cards, _, err := s.Bullpens(t.Context(), "", Page{})
		if err != nil || len(cards) != 1 || cards[0].Clips != want {
			t.Errorf("%+v, %v, want %d clips", cards, err, want)
		}
	}
	if _, err := s.QueueClip(t.Context(), second, NewJob{Kind: "render clip", Payload: "{}"}); err != nil {
		t.Fatal(err)
	}
	counts(3)
	if _, err := s.RemoveRep(t.Context(), off.ID, 0); err != nil {
		t.Fatal(err)
	}
	clips, err = s.Clips(t.Context(), b.ID)
	if len(clips) != 1 || clips[0].ID != second.ID || err != nil {
		t.Errorf("%+v, %v", clips, err)
	}
	counts(1)
	again.ID = "nothing"
	_, err = s.FinishClip(t.Context(), again, nil)
	wantCode(t, err, bullpen.NotFound)
	wantCode(t, s.SaveClip(t.Context(), again), bullpen.NotFound)
	_, err = s.QueueClip(t.Context(), Clip{BullpenID: b.ID, Kind: "single", RepID: "nothing"}, NewJob{Kind: "render clip"})
	wantCode(t, err, bullpen.NotFound)
}

func TestProposals(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "a.mov", 200, 0)
	found := func(releases ...int) (out []Proposal) {
		for _, r := range releases {
			out = append(out, Proposal{From: r - 10, To: r + 5, Release: r, Confidence: 0.8, Reason: "motion and pop"})
		}
		return out
	}
	releases := func() (out map[int]ProposalState) {
		t.Helper()
		list, err := s.Proposals(t.Context(), b.ID)
		if err != nil {
			t.Fatal(err)
		}
		out = map[int]ProposalState{}
		for _, p := range list {
			out[p.Release] = p.State
		}
		return out
	}
	add(t, s, marked(f, 150, bullpen.Fastball)) // marked by hand already
	if err := s.Propose(t.Context(), f.ID, found(30, 60, 90, 151), FilmFindings{}, 5); err != nil {
		t.Fatal(err)
	}
	same(t, releases(), map[int]ProposalState{30: ProposalOpen, 60: ProposalOpen, 90: ProposalOpen}, nil)
	list, err := s.Proposals(t.Context(), b.ID)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.ThrowOut(t.Context(), list[0].ID, false); err != nil {
		t.Fatal(err)
	}
	_, err = s.ThrowOut(t.Context(), list[0].ID, false)
	wantCode(t, err, bullpen.NotFound)
	rep, _, err := s.Confirm(t.Context(), list[1].ID, marked(f, 61, bullpen.ChangeUp))
	if err != nil || rep.Release != 61 {
		t.Fatalf("%+v, %v", rep, err)
	}
	_, _, err = s.Confirm(t.Context(), list[1].ID, marked(f, 61, bullpen.ChangeUp))
	wantCode(t, err, bullpen.Conflict)
	if reps, err := s.Reps(t.Context(), b.ID); err != nil || len(reps) != 2 {
		t.Errorf("a proposal confirmed twice left %d reps, %v", len(reps), err)
	}
	// Found anew from the first mark: what was decided stays, and where between frames
	// a marked release is, is kept with its rep.
	anew := found(31, 61, 62, 92, 120)
	anew[1].Instant, anew[2].Instant, anew[3].Instant = new(2.0391), new(2.07), new(3.0712)
	anew[1].Spread, anew[2].Spread, anew[3].Spread = new(0.003), new(0.004), new(0.007)
	if err := s.Propose(t.Context(), f.ID, anew, FilmFindings{}, 5); err != nil {
		t.Fatal(err)
	}
	instants := func(want map[string]FoundRelease) {
		t.Helper()
		got, err := s.FoundReleases(t.Context(), b.ID)
		same(t, got, want, err)
	}
	instants(map[string]FoundRelease{rep.ID: {2.0391, 0.003}})
	same(t, releases(), map[int]ProposalState{30: ProposalThrownOut, 60: ProposalConfirmed, 92: ProposalOpen, 120: ProposalOpen}, nil)
	anew, err = s.Proposals(t.Context(), b.ID)
	if err != nil || anew[2].ID != list[2].ID || anew[2].Version != list[2].Version+1 || anew[3].ID == list[2].ID {
		t.Errorf("the open one, found two frames later, is %+v, and was %+v; %v", anew[2], list[2], err)
	}
	// Taking the rep out again makes it open again.
	if _, err := s.RemoveRep(t.Context(), rep.ID, 0); err != nil {
		t.Fatal(err)
	}
	if got := releases()[60]; got != ProposalOpen {
		t.Errorf("undone: %s", got)
	}
	if _, _, err := s.RestoreRep(t.Context(), rep.ID); err != nil {
		t.Fatal(err)
	}
	if got := releases()[60]; got != ProposalConfirmed {
		t.Errorf("redone: %s", got)
	}
	if _, err := s.ThrowOut(t.Context(), list[0].ID, true); err != nil {
		t.Fatal(err)
	}
	if got := releases()[30]; got != ProposalOpen {
		t.Errorf("back: %s", got)
	}
	// A release that was found between frames goes with its proposal to the rep, until
	// all are found anew.
	third, _, err := s.Confirm(t.Context(), anew[2].ID, marked(f, 92, bullpen.Fastball))
	if err != nil {
		t.Fatal(err)
	}
	instants(map[string]FoundRelease{rep.ID: {2.0391, 0.003}, third.ID: {3.0712, 0.007}})
	last := found(92)
	last[0].Instant, last[0].Spread = new(3.0720), new(0.005)
	if err := s.Propose(t.Context(), f.ID, last, FilmFindings{}, 5); err != nil {
		t.Fatal(err)
	}
	instants(map[string]FoundRelease{third.ID: {3.0720, 0.005}})
	wantCode(t, s.Propose(t.Context(), "nothing", nil, FilmFindings{}, 5), bullpen.NotFound)
}

func TestLevelsAndSettings(t *testing.T) {
	s := fresh(t)
	level, err := s.Level(t.Context(), "12U")
	if err != nil || level.Version != 0 || level.DistanceFeet != 40 {
		t.Fatalf("%+v, %v", level, err)
	}
	level.DistanceFeet = 38
	level.Bands = map[bullpen.Pitch]bullpen.Band{bullpen.ChangeUp: {Unit: bullpen.InMPH, Lo: 6, Hi: 10, Limit: 13}}
	saved, err := s.SaveLevel(t.Context(), level)
	if err != nil || saved.Version != 1 {
		t.Fatalf("%+v, %v", saved, err)
	}
	_, err = s.SaveLevel(t.Context(), level)
	wantCode(t, err, bullpen.Conflict)
	got, err := s.Level(t.Context(), "12U")
	same(t, got, saved, err)
	levels, err := s.Levels(t.Context())
	if err != nil || len(levels) != len(bullpen.Levels) {
		t.Errorf("%d levels, %v", len(levels), err)
	}
	if l, _ := bullpen.LevelOf("12U"); l.DistanceFeet != 40 || l.Bands != nil {
		t.Errorf("the default was changed: %+v", l)
	}
	level.Key = "3U"
	_, err = s.SaveLevel(t.Context(), level)
	wantCode(t, err, bullpen.NotFound)

	for _, value := range []string{`{"days":30}`, `null`} {
		if err := s.SaveSetting(t.Context(), "keep originals", value); err != nil {
			t.Fatal(err)
		}
		got, err := s.Setting(t.Context(), "keep originals")
		same(t, got, value, err)
	}
	unset, err := s.Setting(t.Context(), "never set")
	same(t, unset, "", err)
}

// caughtUp checks that after a change of its pitcher's level nothing stored of a bullpen is
// believed, and that its revision rises by one when the academy catches up.
func caughtUp(t *testing.T, s *Store, bullpenID string, before int64) {
	t.Helper()
	ctx := t.Context()
	if behind, err := s.Behind(ctx); !behind || err != nil {
		t.Errorf("behind: %t, %v", behind, err)
	}
	if g, err := s.Glances(ctx, []string{bullpenID}); err != nil || len(g) != 1 || g[0].Fresh {
		t.Errorf("at a glance %+v, %v: it was made for the level as it was", g, err)
	}
	if err := s.CatchUp(ctx); err != nil {
		t.Fatal(err)
	}
	if behind, err := s.Behind(ctx); behind || err != nil {
		t.Errorf("behind: %t, %v", behind, err)
	}
	if _, after, err := s.Bullpen(ctx, bullpenID); err != nil || after != before+1 {
		t.Errorf("revision %d, then %d, %v: her numbers hang on her level", before, after, err)
	}
}

// Nor is a level's extension: a pitcher without one of her own follows it.
func TestPitchersFollowTheirLevelsExtension(t *testing.T) {
	s, ctx := fresh(t), t.Context()
	b := pen(t, s, "Kit", "2026-04-11")
	her, err := s.Pitcher(ctx, b.PitcherID)
	if err != nil {
		t.Fatal(err)
	}
	if her, err = s.SavePitcher(ctx, her); err != nil || her.ExtensionFeet != nil {
		t.Fatalf("%+v, %v", her, err)
	}
	_, before, err := s.Bullpen(ctx, b.ID)
	if err != nil {
		t.Fatal(err)
	}
	level, err := s.Level(ctx, her.Level)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.KeepVerdicts(ctx, []Verdicts{{BullpenID: b.ID, Revision: before, Glance: bullpen.Glance{Headline: "x"}}}); err != nil {
		t.Fatal(err)
	}
	if g, err := s.Glances(ctx, []string{b.ID}); err != nil || len(g) != 1 || !g[0].Fresh {
		t.Fatalf("at a glance %+v, %v", g, err)
	}
	level.ExtensionFeet = 4.75
	if _, err := s.SaveLevel(ctx, level); err != nil {
		t.Fatal(err)
	}
	caughtUp(t, s, b.ID, before)
	if her, err = s.Pitcher(ctx, b.PitcherID); err != nil || her.ExtensionFeet != nil || her.Extension() != 4.75 {
		t.Errorf("%v ft, own %v, %v", her.Extension(), her.ExtensionFeet, err)
	}
	her.ExtensionFeet = new(3.5)
	if _, err := s.SavePitcher(ctx, her); err != nil {
		t.Fatal(err)
	}
	if her, err = s.Pitcher(ctx, b.PitcherID); err != nil || her.Extension() != 3.5 || her.LevelExtensionFeet != 4.75 {
		t.Errorf("%v ft, her level's %v, %v", her.Extension(), her.LevelExtensionFeet, err)
	}
}

// A level's bands are never copied onto its pitchers: whatever the level is set to
// later holds for her, except where she has a band of her own.
func TestPitchersFollowTheirLevel(t *testing.T) {
	s, ctx := fresh(t), t.Context()
	b := pen(t, s, "Kit", "2026-04-11")
	her, err := s.Pitcher(ctx, b.PitcherID)
	if err != nil {
		t.Fatal(err)
	}
	edit := func(lo, hi, limit float64) bullpen.Band {
		t.Helper()
		level, err := s.Level(ctx, her.Level)
		if err != nil {
			t.Fatal(err)
		}
		band := bullpen.Band{Unit: bullpen.InMPH, Lo: lo, Hi: hi, Limit: limit}
		level.Bands = map[bullpen.Pitch]bullpen.Band{bullpen.ChangeUp: band}
		if _, err := s.SaveLevel(ctx, level); err != nil {
			t.Fatal(err)
		}
		return band
	}
	goesBy := func(want bullpen.Band) {
		t.Helper()
		cards, err := s.Pitchers(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if her, err = s.Pitcher(ctx, b.PitcherID); err != nil {
			t.Fatal(err)
		}
		for _, p := range []bullpen.Pitcher{her, cards[0].Pitcher} {
			if got, _ := p.BandOf(bullpen.ChangeUp); got != want {
				t.Errorf("goes by %+v, want %+v", got, want)
			}
		}
	}
	goesBy(edit(6, 10, 13))
	if her, err = s.SavePitcher(ctx, her); err != nil {
		t.Fatal(err)
	}
	_, before, err := s.Bullpen(ctx, b.ID)
	if err != nil {
		t.Fatal(err)
	}
	goesBy(edit(9, 13, 16))
	caughtUp(t, s, b.ID, before)
	own := bullpen.Band{Unit: bullpen.InPercent, Lo: 85, Hi: 78, Limit: 73}
	her.Bands = map[bullpen.Pitch]bullpen.Band{bullpen.ChangeUp: own}
	if her, err = s.SavePitcher(ctx, her); err != nil {
		t.Fatal(err)
	}
	edit(5, 9, 12)
	goesBy(own)
}

func TestPitchers(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "mo", "2026-04-11")
	pen(t, s, "Kit", "2026-04-12")
	add(t, s, unmarked(b, bullpen.Fastball, 50))
	cards, err := s.Pitchers(t.Context())
	if err != nil || len(cards) != 2 || cards[0].Label != "Kit" || cards[1].Reps != 1 || cards[1].Bullpens != 1 || cards[1].LastDay != "2026-04-11" {
		t.Errorf("%+v, %v", cards, err)
	}
	p := cards[1].Pitcher
	p.Bands = map[bullpen.Pitch]bullpen.Band{bullpen.Curve: {Unit: bullpen.InMillis, Lo: 20, Hi: 40, Limit: 60}}
	p.Policy, p.TypedBaseline, p.Unit = bullpen.Typed, 56.5, bullpen.KMH
	p.Language = "es"
	_, before, err := s.Bullpen(t.Context(), b.ID)
	if err != nil {
		t.Fatal(err)
	}
	if p, err = s.SavePitcher(t.Context(), p); err != nil {
		t.Fatal(err)
	}
	got, err := s.Pitcher(t.Context(), p.ID)
	same(t, got, p, err)
	// Her bullpens' numbers hang on her settings.
	if _, after, err := s.Bullpen(t.Context(), b.ID); err != nil || after != before+1 {
		t.Errorf("revision %d, then %d, %v", before, after, err)
	}
	if err := s.SaveTrustRule(t.Context(), p.ID, p.Version, `{"inBand":8}`); err != nil {
		t.Fatal(err)
	}
	rule, err := s.TrustRule(t.Context(), p.ID)
	same(t, rule, `{"inBand":8}`, err)
	_, err = s.Pitcher(t.Context(), "nobody")
	wantCode(t, err, bullpen.NotFound)
}
