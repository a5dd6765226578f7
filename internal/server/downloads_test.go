package server

import (
	"net/http/httptest"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// TestPitcherCSVComesAsItIsMade asks for the table of a pitcher of two bullpens: the
// first one's lines go out before the second is read.
func TestPitcherCSVComesAsItIsMade(t *testing.T) {
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
	w := &pieces{ResponseRecorder: httptest.NewRecorder()}
	r := httptest.NewRequest("GET", "/api/pitchers/"+first.PitcherID+"/reps.csv", nil)
	r.Host = "localhost"
	h.server.ServeHTTP(w, r)
	if w.Code != 200 || len(w.sent) == 0 || !strings.Contains(w.sent[0], "morning") || strings.Contains(w.sent[0], "evening") {
		t.Fatalf("answered %d, first with %q", w.Code, w.sent)
	}
	if lines := strings.Count(w.Body.String(), "\r\n"); lines != 3 || !strings.Contains(w.Body.String(), "evening") {
		t.Errorf("%d lines: %s", lines, w.Body)
	}
	if got := w.Header().Get("Content-Disposition"); !strings.Contains(got, "reps.csv") {
		t.Errorf("saved as %q", got)
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
