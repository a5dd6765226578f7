package server

import (
	"net/http"
	"strings"
	"testing"
)

// A phone with a bullpen's link sees her pitcher and nobody else, and what it sends, twice
// and out of order, becomes reps once somebody says yes.
func TestFieldFromLinkToReps(t *testing.T) {
	h := guarded(t)
	h.signIn(t, "Robin", phrase)
	h.pen(t)
	h.keep(t, "wren", "bullpens.0.pitcherId", h.ask(t, "GET", "/api/bullpens", nil))
	h.keep(t, "jay", "id", h.send(t, "POST", "/api/pitchers", `{"label":"Jay"}`))
	made := h.send(t, "POST", "/api/field-links", `{"bullpenId":"$pen"}`)
	h.keep(t, "link", "link", made)
	_, h.vars["field"], _ = strings.Cut(h.vars["link"], "/field#")
	robin := h.vars["cookie"]

	h.vars["cookie"] = ""
	page := h.ask(t, "GET", "/api/field", nil)
	if page.status != http.StatusOK || !strings.Contains(page.body, "Wren") || strings.Contains(page.body, "Jay") {
		t.Errorf("the page: %d %s", page.status, page.body)
	}
	const entry = `{"id":"aaaaaaaaaaaaaaa$n","here":true,"pitcherId":"$whose","day":"2020-01-01","at":$n,"revision":1,"pitch":"ch","value":45,"unit":"mph","call":"ball"}`
	send := func(n, whose string) answer {
		h.vars["n"], h.vars["whose"] = n, h.vars[whose]
		return h.send(t, "PUT", "/api/field/entries", `{"entries":[`+entry+`]}`)
	}
	for _, n := range []string{"2", "1", "2"} { // another day than the bullpen's: the link names it
		if a := send(n, "wren"); !strings.Contains(a.body, `"refused":[]`) || !strings.Contains(a.body, "aaaaaaaaaaaaaaa"+n) {
			t.Errorf("entry %s: %d %s", n, a.status, a.body)
		}
	}
	if a := send("3", "jay"); !strings.Contains(a.body, `"taken":[]`) || !strings.Contains(a.body, "another pitcher") {
		t.Errorf("for Jay: %d %s", a.status, a.body)
	}

	h.vars["cookie"] = robin
	look := h.ask(t, "GET", "/api/bullpens/$pen/field", nil)
	h.keep(t, "revision", "revision", look)
	if !strings.Contains(look.body, `"waiting":2`) || strings.Index(look.body, "aaa1") > strings.Index(look.body, "aaa2") {
		t.Errorf("the look: %s", look.body)
	}
	joined := h.send(t, "POST", "/api/bullpens/$pen/field/join", `{"revision":$revision,"way":0,"entries":["aaaaaaaaaaaaaaa1","aaaaaaaaaaaaaaa2"]}`)
	sheet := h.ask(t, "GET", "/api/bullpens/$pen", nil)
	if !strings.Contains(joined.body, `"waiting":0`) || !strings.Contains(joined.body, `"joined":2`) || strings.Count(sheet.body, `"call":"ball"`) != 2 {
		t.Errorf("joined: %s\n%s", joined.body, sheet.body)
	}
	if a := h.send(t, "POST", "/api/bullpens/$pen/field/undo", ""); !strings.Contains(a.body, `"waiting":2`) {
		t.Errorf("undone: %s", a.body)
	}
	h.keep(t, "fieldLink", "fieldLink.id", made)
	if a := h.send(t, "POST", "/api/field-links/$fieldLink/revoke", ""); a.body != "{\"links\":[]}\n" {
		t.Errorf("revoked: %s", a.body)
	}
	h.vars["cookie"] = ""
	if a := send("4", "wren"); a.status != http.StatusNotFound {
		t.Errorf("by a revoked link: %d %s", a.status, a.body)
	}
}
