package judged

import (
	"fmt"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/trust"
)

type house struct {
	*testing.T
	store  *store.Store
	judged *Bullpens
	her    bullpen.Pitcher
	pens   []bullpen.Bullpen
}

// newHouse has one pitcher with three bullpens of four reps.
func newHouse(t *testing.T) *house {
	st, err := store.OpenScratch(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	level, _ := bullpen.LevelOf("14U")
	h := &house{T: t, store: st, judged: New(st, nil)}
	if h.her, err = st.AddPitcher(t.Context(), bullpen.NewPitcher("Wren", level)); err != nil {
		t.Fatal(err)
	}
	for _, day := range []string{"2026-05-02", "2026-05-09", "2026-05-16"} {
		pen, err := st.AddBullpen(t.Context(), h.her.Begin(day), true)
		if err != nil {
			t.Fatal(err)
		}
		h.pens = append(h.pens, pen)
		for _, mph := range []float64{54, 44, 55, 46} {
			h.throw(pen, mph)
		}
	}
	return h
}

func (h *house) throw(pen bullpen.Bullpen, mph float64) bullpen.Rep {
	h.Helper()
	r := bullpen.Rep{
		BullpenID: pen.ID, Pitch: bullpen.Fastball, Drive: -1, Plant: -1, Top: -1, Release: -1,
		Reading: &bullpen.Reading{Value: mph, Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher},
	}
	if mph < 50 {
		r.Pitch = bullpen.ChangeUp
	}
	r, _, err := h.store.AddRep(h.Context(), r)
	if err != nil {
		h.Fatal(err)
	}
	return r
}

func (h *house) of() []trust.Week {
	h.Helper()
	season, err := h.judged.Season(h.Context(), h.her)
	if err != nil {
		h.Fatal(err)
	}
	return season.Weeks
}

// same fails unless what is kept is what a reader without memory sees.
func (h *house) same(when string) {
	h.Helper()
	fresh, err := New(h.store, nil).Season(h.Context(), h.her)
	if err != nil {
		h.Fatal(err)
	}
	if d := cmp.Diff(fresh.Weeks, h.of()); d != "" {
		h.Errorf("%s: %s", when, d)
	}
}

func TestOnlyWhatChangedIsJudgedAgain(t *testing.T) {
	h := newHouse(t)
	first := h.of()
	if len(first) != 3 || first[0].Day != "2026-05-16" || first[0].Reps != 4 {
		t.Fatalf("%+v", first)
	}
	r := h.throw(h.pens[1], 47)
	second := h.of()
	for i := range first {
		kept := &first[i].Full[0] == &second[i].Full[0]
		if changed := second[i].Day >= h.pens[1].Day; kept == changed { // those after it look back on it
			t.Errorf("bullpen of %s: changed %v, kept %v", second[i].Day, changed, kept)
		}
	}
	h.same("a rep added")
	if _, err := h.store.RemoveRep(t.Context(), r.ID, r.Version); err != nil {
		t.Fatal(err)
	}
	h.same("a rep deleted")
}

func TestHerSettingsChangeEveryBullpen(t *testing.T) {
	h := newHouse(t)
	before := h.of()
	her, err := h.store.Pitcher(t.Context(), h.her.ID)
	if err != nil {
		t.Fatal(err)
	}
	her.Policy = bullpen.Hardest
	if h.her, err = h.store.SavePitcher(t.Context(), her); err != nil {
		t.Fatal(err)
	}
	h.same("the baseline's policy")
	if reflect.DeepEqual(before, h.of()) {
		t.Error("nothing changed")
	}
}

// What she threw before says how far her readings differ: a change there is followed by
// all that is kept of the bullpens after it.
func TestAnEarlierBullpenIsFollowed(t *testing.T) {
	h := newHouse(t)
	steady := func(when string) float64 {
		t.Helper()
		alone, err := h.judged.Of(t.Context(), h.pens[2].ID)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(h.of()[0], alone.Week()); d != "" {
			t.Errorf("%s: her season and the bullpen differ: %s", when, d)
		}
		h.same(when)
		return float64(*alone.Sheet.Summaries[1].StandardError)
	}
	if all, err := h.judged.KeepVerdicts(t.Context(), 9); !all || err != nil {
		t.Fatal(all, err)
	}
	before := steady("as it was")
	for range 6 {
		h.throw(h.pens[0], 50)
		h.throw(h.pens[0], 58)
	}
	if ids, err := h.store.Unjudged(t.Context(), method(), 9); err != nil || len(ids) != 3 {
		t.Errorf("verdicts of %d bullpens are to be made anew, want all 3: %v", len(ids), err)
	}
	if after := steady("an earlier one wider"); after < 1.2*before {
		t.Errorf("uncertainty %.2f before, %.2f after fastballs that lie 8 mph apart", before, after)
	}
	_, err := h.store.RemoveBullpen(t.Context(), h.pens[0].ID, 0, store.Whatever)
	if err != nil {
		t.Fatal(err)
	}
	if after := steady("removed"); after > 1.1*before {
		t.Errorf("uncertainty %.2f before, %.2f without it", before, after)
	}
}

// Marks on a film tell of the body, and the instructor's eye changes what they tell.
func TestTheBodyIsFollowed(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	f := store.Film{Film: bullpen.Film{ID: store.NewFilmID(), BullpenID: h.pens[0].ID, Name: "a.mp4", SHA256: "1", State: bullpen.FilmReading}}
	f.Made.Original = "films/" + f.ID + "/original"
	if err := h.store.Expect(ctx, f.Made.Original); err != nil {
		t.Fatal(err)
	}
	f, _, err := h.store.AddFilm(ctx, f, store.NewJob{Kind: "none"})
	if err != nil {
		t.Fatal(err)
	}
	f.Clock = bullpen.Clock{Num: 1, Den: 60, Slow: 1}
	for i := range 600 {
		f.Clock.Ticks = append(f.Clock.Ticks, int64(i))
	}
	if _, err := h.store.FilmRead(ctx, f, nil); err != nil {
		t.Fatal(err)
	}
	reps, err := h.store.Reps(ctx, h.pens[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range reps {
		legs := 27
		if r.Pitch == bullpen.ChangeUp {
			legs = 36
		}
		r.FilmID, r.Drive, r.Plant, r.Release = f.ID, 100*i+10, 100*i+10+legs, 100*i+20+legs
		if _, _, err := h.store.SaveRep(ctx, r); err != nil {
			t.Fatal(err)
		}
	}
	told := func(w trust.Week) *trust.Body {
		t.Helper()
		for _, f := range w.Full {
			if f.Pitch == bullpen.ChangeUp {
				return f.Body
			}
		}
		t.Fatal("no change-up")
		return nil
	}
	last := told(h.of()[2])
	if last == nil || last.Legs == nil {
		t.Fatalf("%+v", last)
	}
	if none := told(h.of()[0]); none != nil {
		t.Errorf("%+v of a bullpen without film", none)
	}
	wide := last.Legs.Hi - last.Legs.Lo
	if err := SaveEye(ctx, h.store, Eye{Seconds: 0.03, Marks: 20, Day: "2026-05-20"}); err != nil {
		t.Fatal(err)
	}
	shaky := told(h.of()[2]).Legs
	if shaky.Hi-shaky.Lo <= wide {
		t.Errorf("a shakier eye: %.1f to %.1f, before %.1f wide", shaky.Lo, shaky.Hi, wide)
	}
	h.same("the eye")
}

// A year is read as it was stored with the verdicts: the same as if it were judged now,
// and never what was stored before something changed.
func TestAYearIsReadAsItWasStored(t *testing.T) {
	h := newHouse(t)
	for i := range fewStale {
		pen, err := h.store.AddBullpen(t.Context(), h.her.Begin(fmt.Sprintf("2026-06-%02d", 1+i)), true)
		if err != nil {
			t.Fatal(err)
		}
		h.pens = append(h.pens, pen)
		for j := range 3 {
			h.throw(pen, float64(54+(i+j)%3))
			h.throw(pen, float64(44+(i*j)%5))
		}
	}
	store := func() {
		t.Helper()
		if all, err := h.judged.KeepVerdicts(t.Context(), 2*fewStale); !all || err != nil {
			t.Fatal(all, err)
		}
	}
	judged := h.of()
	store()
	cards, err := h.store.AllBullpens(t.Context(), h.her.ID)
	if err != nil {
		t.Fatal(err)
	}
	stored := func() map[string]week {
		t.Helper()
		known, err := h.judged.stored(t.Context(), h.her, cards, nil)
		if err != nil {
			t.Fatal(err)
		}
		return known
	}
	known := stored()
	if left := staleAmong(cards, known); len(left) != 0 || len(known) != len(judged) {
		t.Fatalf("%d of %d bullpens are stored, %d of them not as they are", len(known), len(judged), len(left))
	}
	for _, w := range judged {
		if d := cmp.Diff(w, known[w.BullpenID].Week); d != "" {
			t.Errorf("bullpen of %s: %s", w.Day, d)
		}
	}
	h.same("stored")

	h.throw(h.pens[3], 40)
	if known = stored(); len(known) == len(judged) {
		t.Error("a bullpen that has changed is read as it was stored")
	}
	h.same("a rep added")
	store()
	her := h.her
	her.Policy = bullpen.Hardest
	if h.her, err = h.store.SavePitcher(t.Context(), her); err != nil {
		t.Fatal(err)
	}
	if known = stored(); len(known) != 0 {
		t.Errorf("%d bullpens are read as they were stored before her settings changed", len(known))
	}
	h.same("her settings")
	store()
	if err := SaveEye(t.Context(), h.store, Eye{Seconds: 0.03, Marks: 20, Day: "2026-05-20"}); err != nil {
		t.Fatal(err)
	}
	if known = stored(); len(known) != 0 {
		t.Errorf("%d bullpens are read as they were stored by another eye", len(known))
	}
}
