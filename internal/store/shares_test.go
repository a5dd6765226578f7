package store

import (
	"path/filepath"
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
	if _, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: b.PitcherID, Guardian: "her mother", Given: "2026-04-01", Covers: "results"}); err != nil {
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
	dir := t.TempDir()
	if err := s.CopyTo(ctx, filepath.Join(dir, Database)); err != nil {
		t.Fatal(err)
	}
	if c, err := CloseAllIn(ctx, filepath.Join(dir, Database)); err != nil || c.Links != 1 {
		t.Fatalf("%+v, %v", c, err)
	}
	back := at(t, dir)
	if _, _, err := back.OpenShare(ctx, token); err != error(errNoLink) {
		t.Errorf("brought back: %v", err)
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

// A clip that was chosen is shown only as long as it shows nobody else and its reps are
// logged.
func TestSharedClipsShowNobodyElse(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	b, other := pen(t, s, "Kit", "2026-04-11"), pen(t, s, "Jay", "2026-04-12")
	for _, id := range []string{b.PitcherID, other.PitcherID} {
		if _, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: id, Guardian: "her mother", Given: "2026-04-01", Covers: "results"}); err != nil {
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
