package shelf

import (
	"bytes"
	"context"
	"io"
	"math"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
)

// mark places the instants of rep i by hand, so many frames before its release.
func (h *house) mark(i, drive, plant, top int) {
	h.t.Helper()
	r, err := h.store.Rep(context.Background(), h.reps[i].ID)
	if err != nil {
		h.t.Fatal(err)
	}
	r.Drive, r.Plant, r.Top = r.Release-drive, r.Release-plant, r.Release-top
	if h.reps[i], _, err = h.store.SaveRep(context.Background(), r); err != nil {
		h.t.Fatal(err)
	}
}

func TestAPairIsExplained(t *testing.T) {
	h := newHouse(t)
	ctx := context.Background()
	// Without instants the tempo can't be made the same, and nothing is drawn.
	if _, err := h.MakePair(ctx, h.reps[3].ID, h.reps[1].ID, Options{Stretch: true}); bullpen.CodeOf(err) != bullpen.Invalid || !strings.Contains(bullpen.MessageOf(err), "same tempo") {
		t.Errorf("without instants: %v", err)
	}
	plain, err := h.MakePair(ctx, h.reps[3].ID, h.reps[1].ID, Options{Window: short, Phases: true})
	if err != nil {
		t.Fatal(err)
	}
	h.work()
	h.mark(3, 24, 4, 5)
	h.mark(1, 12, 3, 4)
	if e := h.entries(); len(e) != 1 || !e[0].Stale {
		t.Errorf("instants came, and the clip is not told stale: %+v", e)
	}
	again, err := h.MakePair(ctx, h.reps[3].ID, h.reps[1].ID, Options{Window: short, Phases: true})
	if err != nil || again.ID != plain.ID {
		t.Errorf("%s, %v; want %s again", again.ID, err, plain.ID)
	}
	same, err := h.MakePair(ctx, h.reps[3].ID, h.reps[1].ID, Options{Window: short, Phases: true, Stretch: true})
	if err != nil || same.ID == plain.ID {
		t.Errorf("%s, %v; want another clip than %s", same.ID, err, plain.ID)
	}
	if n := h.work(); n != 2 {
		t.Errorf("%d jobs", n)
	}
	x, err := h.scene(ctx, same, map[string]judged.Bullpen{})
	if err != nil || x.Stretch != 2 || x.Chart == nil || *x.Chart.Rows[0].Drive != *x.Chart.Rows[1].Drive {
		t.Errorf("%+v, %v", x, err)
	}
	// Frames at 30 a second: 20 of legs (667 ms) against 9 (300), 5 of arm (167) against 4
	// (133); a difference is that of the numbers shown.
	if want := "Change-up as thrown: legs, drive to plant +367 ms (too few pitches to tell) · arm, top to release alike (+34 ms, too close to tell)"; x.Chart.Words != want {
		t.Errorf("%q, want %q", x.Chart.Words, want)
	}
	if name := x.name(); !strings.HasSuffix(name, "_same-tempo.mp4") || strings.Contains(name, secret) {
		t.Errorf("called %q", name)
	}
}

func TestTheBodyIsSaidWhenAskedFor(t *testing.T) {
	h := newHouse(t)
	for i := range 4 {
		h.mark(i, 13, 3, 4)
	}
	for _, asked := range []bool{false, true} {
		c := h.make(Options{Body: asked}, 3)
		h.work()
		f, _, err := h.VTT(context.Background(), c[0].ID)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if _, err := io.Copy(&b, f); err != nil {
			t.Fatal(err)
		}
		f.Close()
		if said := strings.Contains(b.String(), "legs at 100 % of her fastball's speed"); said != asked {
			t.Errorf("asked for it %v, said it %v:\n%s", asked, said, &b)
		}
	}
	b, err := h.judged.Of(context.Background(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	if p, ok := b.Body.Rep(h.reps[3].ID); !ok || p.Legs == nil || math.Abs(*p.LegsSeconds-10.0/30) > 1e-9 {
		t.Errorf("%+v", p)
	}
}
