package server

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/ledger"
	"tenoff/internal/store"
)

// TestPitcherTableComesAsItIsMade asks for the table of a pitcher of two bullpens: the
// first one's lines go out before the second is read.
func TestPitcherTableComesAsItIsMade(t *testing.T) {
	h := newHouse(t)
	h.pen(t)
	first, _, err := h.deps.Store.Bullpen(t.Context(), h.vars["pen"])
	if err != nil {
		t.Fatal(err)
	}
	second, err := h.deps.Store.AddBullpen(t.Context(), bullpen.Bullpen{PitcherID: first.PitcherID, Day: first.Day, Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}, true)
	if err != nil {
		t.Fatal(err)
	}
	for i, pen := range []bullpen.Bullpen{first, second} {
		rep := bullpen.Rep{BullpenID: pen.ID, Pitch: bullpen.Fastball, Drive: -1, Plant: -1, Top: -1, Release: -1, Note: []string{"morning", "evening"}[i]}
		if _, _, err := h.deps.Store.AddRep(t.Context(), rep); err != nil {
			t.Fatal(err)
		}
	}
	for name, whole := range map[string]func(string) bool{
		"reps.csv": func(text string) bool { return strings.Count(text, "\r\n") == 3 },
		"reps.json": func(text string) bool {
			var export ledger.Export
			return json.Unmarshal([]byte(text), &export) == nil && len(export.Bullpens) == 2
		},
	} {
		t.Run(name, func(t *testing.T) {
			w := &pieces{ResponseRecorder: httptest.NewRecorder()}
			r := httptest.NewRequest("GET", "/api/pitchers/"+first.PitcherID+"/"+name, nil)
			r.Host = "localhost"
			h.server.ServeHTTP(w, r)
			if w.Code != 200 || len(w.sent) == 0 || !strings.Contains(w.sent[0], "morning") || strings.Contains(w.sent[0], "evening") {
				t.Fatalf("answered %d, first with %q", w.Code, w.sent)
			}
			if text := w.Body.String(); !whole(text) || !strings.Contains(text, "evening") {
				t.Errorf("not whole: %s", text)
			}
			if got := w.Header().Get("Content-Disposition"); got != "attachment; filename="+name {
				t.Errorf("saved as %q", got)
			}
		})
	}
}

// pieces notes what had been written at each flush.
type pieces struct {
	*httptest.ResponseRecorder
	sent []string
}

func (p *pieces) Flush() {
	p.sent = append(p.sent, p.Body.String())
	p.ResponseRecorder.Flush()
}

// TestPitcherCSVOfNothing asks for the table of a pitcher whose bullpens are all removed
// before the first was judged: it is a table without lines, not an answer without a table.
func TestPitcherCSVOfNothing(t *testing.T) {
	h := newHouse(t)
	h.pen(t)
	first, _, err := h.deps.Store.Bullpen(t.Context(), h.vars["pen"])
	if err != nil {
		t.Fatal(err)
	}
	second, err := h.deps.Store.AddBullpen(t.Context(), bullpen.Bullpen{PitcherID: first.PitcherID, Day: first.Day, Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}, true)
	if err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest("GET", "/api/pitchers/"+first.PitcherID+"/reps.csv", nil)
	r.Host = "localhost"
	readings := 0
	r = r.WithContext(meddling{t.Context(), func() {
		if readings++; readings != 3 { // behind the pitcher and the list of her bullpens
			return
		}
		for _, id := range []string{first.ID, second.ID} {
			if _, err := h.deps.Store.RemoveBullpen(t.Context(), id, 0, store.Whatever); err != nil {
				t.Error(err)
			}
		}
	}})
	w := httptest.NewRecorder()
	h.server.ServeHTTP(w, r)
	if w.Code != 200 || !strings.HasPrefix(w.Body.String(), "day,bullpen,order") || strings.Count(w.Body.String(), "\r\n") != 1 {
		t.Errorf("answered %d: %q", w.Code, w.Body)
	}
	if got := w.Header().Get("Content-Type"); !strings.HasPrefix(got, "text/csv") || readings < 3 {
		t.Errorf("answered with %q after %d readings", got, readings)
	}
}

// meddling is a context that tells when the store asks it whose rows it may see, as it
// does at every reading.
type meddling struct {
	context.Context
	asked func()
}

func (m meddling) Value(key any) any {
	if fmt.Sprintf("%T", key) == "store.academyKey" {
		m.asked()
	}
	return m.Context.Value(key)
}
