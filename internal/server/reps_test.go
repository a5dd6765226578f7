package server

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
)

// TestSentTwice logs a rep again under its name, as a page does that lost the answer.
func TestSentTwice(t *testing.T) {
	h := newHouse(t)
	h.pen(t)
	const post = http.MethodPost
	h.run(t, []exchange{
		{"under a name", post, "/api/bullpens/$pen/reps", `{"key":"once","note":"a"}`, 201, `"order":1`, map[string]string{"rep": "rep.id", "at": "revision"}},
		{"sent again", post, "/api/bullpens/$pen/reps", `{"key":"once","note":"a"}`, 201, `"id":"$rep"
			"order":1
			"revision":$at`, nil},
		{"under another", post, "/api/bullpens/$pen/reps", `{"key":"twice"}`, 201, `"order":2`, nil},
		{"a name that is too long", post, "/api/bullpens/$pen/reps", `{"key":"` + strings.Repeat("k", 65) + `"}`, 422, "key", nil},
		{"delete it", http.MethodDelete, "/api/reps/$rep?version=1", "", 200, "", nil},
		{"sent again after that", post, "/api/bullpens/$pen/reps", `{"key":"once","note":"a"}`, 404, "", nil},
	})
}

// A new rep is answered with what the bullpen's sheet says of it, whether it is on film or was
// only read off the gun.
func TestANewRepSaysWhatTheSheetSays(t *testing.T) {
	h := filmed(t)
	film, err := h.deps.Store.Film(t.Context(), h.vars["film"])
	if err != nil {
		t.Fatal(err)
	}
	on := fmt.Sprintf(`,"filmId":"$film","release":%d`, film.Clock.Frames()/2)
	for _, r := range []struct{ name, pitch, speed, marks string }{
		{"a fastball", "fb", "55", ""}, {"another", "fb", "56", ""}, {"a third", "fb", "55", ""},
		{"in the band", "ch", "45", ""}, {"too firm", "ch", "53", ""}, {"on film", "ch", "45", on},
	} {
		body := `{"pitch":"` + r.pitch + `","reading":{"value":` + r.speed + `,"unit":"mph","step":1,"gun":"behind catcher"}` + r.marks + `}`
		if rep := h.asTheSheet(t, r.name, h.send(t, http.MethodPost, "/api/bullpens/$pen/reps", body)); rep["fill"] == nil {
			t.Errorf("%s: no fill", r.name)
		}
	}
}

// A change of a rep is answered with what the sheet says of it, and of her body, too: also
// that of a rep whose film is taken off, of which its instants have nothing to say any more.
func TestAChangeSaysWhatTheSheetSays(t *testing.T) {
	h, _ := moved(t)
	for _, c := range []struct {
		name, change string
		body         bool // something is said of her body
	}{
		{"a note", `"note":"long"`, true},
		{"no longer on film", `"filmId":null,"release":null`, false},
	} {
		rep := h.sheet(t).Reps[7]
		h.vars["rep"] = rep.ID
		if rep.Body == nil {
			t.Fatalf("%s: nothing was said of her body before", c.name)
		}
		got := h.asTheSheet(t, c.name, h.send(t, http.MethodPatch, "/api/reps/$rep", fmt.Sprintf(`{"version":%d,%s}`, rep.Version, c.change)))
		if (got["body"] != nil) != c.body {
			t.Errorf("%s: of her body %v is said", c.name, got["body"])
		}
	}
}

// asTheSheet checks that a rep is answered as $pen's sheet has it, and returns it.
func (h *house) asTheSheet(t *testing.T, name string, said answer) map[string]any {
	t.Helper()
	got, err := at(said.body, "rep")
	if err != nil {
		t.Fatalf("%s: %v in %s", name, err, said.body)
	}
	rep := got.(map[string]any)
	sheet, err := at(h.ask(t, http.MethodGet, "/api/bullpens/$pen", nil).body, fmt.Sprintf("reps.%.0f", rep["order"].(float64)-1))
	if err != nil {
		t.Fatal(err)
	}
	want := sheet.(map[string]any)
	for _, only := range []string{"filmSpeed", "popAfter"} { // of a sheet
		delete(want, only)
	}
	if diff := cmp.Diff(want, rep); diff != "" {
		t.Errorf("%s: the sheet (-) and the answer (+):\n%s", name, diff)
	}
	return rep
}

// TestVerdictsFarApart looks for a verdict that few of many reps have: what is asked
// for is found page by page, each rep once and in order, and the store is asked for
// large pages and not for as many small ones as there are reps.
func TestVerdictsFarApart(t *testing.T) {
	h := newHouse(t)
	h.pen(t)
	pen, _, err := h.deps.Store.Bullpen(t.Context(), h.vars["pen"])
	if err != nil {
		t.Fatal(err)
	}
	her, err := h.deps.Store.Pitcher(t.Context(), pen.PitcherID)
	if err != nil {
		t.Fatal(err)
	}
	const bullpens, each = 28, 18 // more reps than are read at a time, one in each bullpen too soft
	read := func(pen bullpen.Bullpen, pitch bullpen.Pitch, mph float64) bullpen.Rep {
		return bullpen.Rep{
			BullpenID: pen.ID, Pitch: pitch, Drive: -1, Plant: -1, Top: -1, Release: -1,
			Reading: &bullpen.Reading{Value: mph, Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher},
		}
	}
	var want []string
	for n := range bullpens {
		pen, err := h.deps.Store.AddBullpen(t.Context(), her.Begin(fmt.Sprintf("2026-06-%02d", n+1)), true)
		if err != nil {
			t.Fatal(err)
		}
		for i := range each {
			rep := read(pen, bullpen.Fastball, 55)
			odd := i == 11
			if odd {
				rep = read(pen, bullpen.ChangeUp, 38)
			}
			rep, _, err := h.deps.Store.AddRep(t.Context(), rep)
			if err != nil {
				t.Fatal(err)
			}
			if odd {
				want = append([]string{rep.ID}, want...)
			}
		}
	}
	search := func(limit int) (got []string, asked int) {
		for cursor := ""; ; {
			page, err := h.server.listReps(t.Context(), &listReps{Verdict: bullpen.TooSoft, Cursor: cursor, Limit: limit})
			if err != nil {
				t.Fatal(err)
			}
			asked++
			if len(page.Reps) > limit {
				t.Errorf("%d reps on a page of %d", len(page.Reps), limit)
			}
			for _, r := range page.Reps {
				got = append(got, r.Rep.ID)
			}
			if cursor = page.Next; cursor == "" {
				return got, asked
			}
		}
	}
	for _, stored := range []bool{false, true} {
		for all := false; stored && !all; {
			if all, err = h.deps.Judged.KeepVerdicts(t.Context(), 10); err != nil {
				t.Fatal(err)
			}
		}
		if now, err := h.deps.Judged.Searchable(t.Context()); now != stored || err != nil {
			t.Fatalf("verdicts are stored: %t, %v", now, err)
		}
		for _, limit := range []int{1, 5, 11, 12, 100} {
			got, asked := search(limit)
			if strings.Join(got, " ") != strings.Join(want, " ") {
				t.Errorf("pages of %d: %d reps, not %d, or in another order", limit, len(got), len(want))
			}
			if most := len(want)/limit + 1; asked > most {
				t.Errorf("pages of %d: %d of them", limit, asked)
			}
		}
	}
	// What is stored follows what it hangs on: a reading, then the band.
	rep, err := h.deps.Store.Rep(t.Context(), want[3])
	if err != nil {
		t.Fatal(err)
	}
	rep.Reading.Value = 46
	if _, _, err := h.deps.Store.SaveRep(t.Context(), rep); err != nil {
		t.Fatal(err)
	}
	if got, _ := search(100); slices.Contains(got, rep.ID) || len(got) != len(want)-1 {
		t.Errorf("%d reps are found when one of %d was read faster", len(got), len(want))
	}
	her.Bands = map[bullpen.Pitch]bullpen.Band{bullpen.ChangeUp: {Unit: bullpen.InMPH, Lo: 8, Hi: 18, Limit: 20}}
	if _, err := h.deps.Store.SavePitcher(t.Context(), her); err != nil {
		t.Fatal(err)
	}
	if got, _ := search(100); len(got) != 0 {
		t.Errorf("%d reps are too soft for a band that they lie in", len(got))
	}
}
