package judged

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// A glance is stored with the verdicts, holds until the bullpen changes, and is then made
// again; it is what judging the bullpen says.
func TestGlance(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	h.throw(h.pens[0], 44)
	if all, err := h.judged.KeepVerdicts(ctx, 10); !all || err != nil {
		t.Fatalf("all %t, %v", all, err)
	}
	look := func(fresh bool) {
		t.Helper()
		stored, err := h.store.LatestGlances(ctx, h.her.ID, 2)
		if err != nil || len(stored) != 2 || stored[0].BullpenID != h.pens[2].ID {
			t.Fatalf("%+v, %v", stored, err)
		}
		one, err := h.store.Glances(ctx, []string{h.pens[0].ID, "nope"})
		if err != nil || len(one) != 1 || one[0].Fresh != fresh {
			t.Fatalf("%+v, %v", one, err)
		}
		now, err := h.judged.Glance(ctx, h.pens[0].ID)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(now, one[0].Glance); (diff == "") != fresh {
			t.Errorf("fresh %t, and judged now %s", fresh, diff)
		}
	}
	look(true)
	stored, err := h.store.Glances(ctx, []string{h.pens[0].ID})
	if err != nil {
		t.Fatal(err)
	}
	// 54 and 55 are her fastballs: 44 came in about 10.5 under them, twice, and 46 about 8.5.
	g := stored[0].Glance
	if g.Headline != "So far 3 of 3 about ten off." || g.Unit != bullpen.MPH || *g.Band != (bullpen.Band{Unit: bullpen.InMPH, Lo: 8, Hi: 12, Limit: 15}) || len(g.Shots) != 3 {
		t.Errorf("a glance of %+v", g)
	}
	for _, s := range g.Shots {
		if s.Gap == nil || *s.Gap < 8 || *s.Gap > 11 || s.Body != nil || !s.Well {
			t.Errorf("a shot of %+v", s)
		}
	}
	h.throw(h.pens[0], 38)
	look(false)
	if all, err := h.judged.KeepVerdicts(ctx, 10); !all || err != nil {
		t.Fatalf("all %t, %v", all, err)
	}
	look(true)

	// A reading that can't be true is counted as asked about, and the first page is told.
	h.throw(h.pens[1], 84)
	if all, err := h.judged.KeepVerdicts(ctx, 10); !all || err != nil {
		t.Fatalf("all %t, %v", all, err)
	}
	asked, err := h.store.AskedGlances(ctx, 8)
	if err != nil || len(asked) != 1 || asked[0].BullpenID != h.pens[1].ID || asked[0].Asked != 1 || !asked[0].Fresh {
		t.Errorf("asked about: %+v, %v", asked, err)
	}

	// How closely she marks is part of how bullpens are judged.
	if err := SaveEye(ctx, h.store, Eye{Seconds: 0.01, Marks: 12, Day: "2026-05-20"}); err != nil {
		t.Fatal(err)
	}
	by, err := h.judged.method(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if stale, err := h.store.Unjudged(ctx, by, 10); err != nil || len(stale) != 3 {
		t.Errorf("after marking again %d bullpens are judged anew, %v", len(stale), err)
	}
}

// A shot is well only where gap and body are right; where the film can't tell the body it is
// half, and where its pitch is said to be slower it is neither.
func TestShotOfABody(t *testing.T) {
	legs := &tempo.BodySpeed{Percent: 99.4, U: 1.5}
	for _, c := range []struct {
		what       string
		verdict    bullpen.Verdict
		body       tempo.RepBody
		film       string
		well, half bool
	}{
		{"same body", bullpen.InBand, tempo.RepBody{Legs: legs, Told: tempo.SameBody}, "f", true, false},
		{"can't tell", bullpen.InBand, tempo.RepBody{Legs: legs, Told: tempo.CantTell}, "f", false, true},
		{"no check", bullpen.InBand, tempo.RepBody{Legs: legs}, "f", false, true},
		{"the pitch slowed down", bullpen.InBand, tempo.RepBody{Legs: legs, Told: tempo.SlowedBody}, "f", false, false},
		{"its arm slowed down", bullpen.InBand, tempo.RepBody{Legs: legs, Verdict: tempo.SlowedArm, Told: tempo.SlowedArm}, "f", false, false},
		{"not filmed", bullpen.InBand, tempo.RepBody{}, "", true, false},
		{"on film, and no instant is marked", bullpen.InBand, tempo.RepBody{}, "f", false, true},
		{"too soft", bullpen.TooSoft, tempo.RepBody{Legs: legs, Told: tempo.SameBody}, "f", false, false},
	} {
		c.body.RepID = "r"
		gap := bullpen.Gap{MPH: 10}
		b := Bullpen{Facts: Facts{Reps: []bullpen.Rep{{ID: "r", FilmID: c.film}}}, Sheet: bullpen.Sheet{Reps: []bullpen.RepNumbers{{RepID: "r", Gap: &gap, Verdict: c.verdict}}}, Body: tempo.Assessment{Reps: []tempo.RepBody{c.body}}}
		if shot, ok := b.shot(0, bullpen.MPH); !ok || shot.Well != c.well || shot.Half != c.half {
			t.Errorf("%s: %+v", c.what, shot)
		}
	}
}
