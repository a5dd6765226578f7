package server

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
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
	const bullpens, each = 12, 45 // more reps than are read at a time, one in each bullpen too soft
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
			odd := i == 25
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
	for _, limit := range []int{1, 5, 11, 12, 100} {
		var got []string
		cursor, asked := "", 0
		for {
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
				break
			}
		}
		if strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("pages of %d: %d reps, not %d, or in another order", limit, len(got), len(want))
		}
		if most := len(want)/limit + 1; asked > most {
			t.Errorf("pages of %d: %d of them", limit, asked)
		}
	}
	if n := pageOf(&listReps{Verdict: bullpen.Soft, Limit: 11}); n != store.MostRows {
		t.Errorf("%d reps are read at a time", n)
	}
}
