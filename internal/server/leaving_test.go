package server

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
)

// A server that is about to stop sends films elsewhere and answers everything else.
func TestLeaving(t *testing.T) {
	h := newHouse(t)
	h.keep(t, "pen", "id", h.send(t, "POST", "/api/bullpens", `{"pitcherLabel":"Kit"}`))
	h.server.Leave()
	for _, c := range []struct{ method, path string }{
		{"PUT", "/api/bullpens/$pen/films?name=a.mp4"}, {"POST", "/api/slip/uploads"}, {"PATCH", "/api/slip/uploads/x"},
	} {
		a := h.ask(t, c.method, c.path, strings.NewReader("x"))
		if a.status != http.StatusServiceUnavailable || a.header.Get("Retry-After") == "" || !strings.Contains(a.body, "about to stop") {
			t.Errorf("%s %s: %d %s", c.method, c.path, a.status, a.body)
		}
	}
	if a := h.ask(t, "GET", "/api/bullpens/$pen", nil); a.status != http.StatusOK {
		t.Errorf("a page: %d", a.status)
	}
	if a := h.send(t, "POST", "/api/bullpens/$pen/reps", `{"pitch":"fb"}`); a.status != http.StatusCreated {
		t.Errorf("a rep: %d %s", a.status, a.body)
	}
}

// Every answer names its errand by a name of its own, and who is no proxy that is believed
// does not choose it.
func TestErrand(t *testing.T) {
	h := newHouse(t)
	a := h.ask(t, "GET", "/api/home", nil, "X-Request-Id", "chosen")
	if name := a.header.Get("X-Request-Id"); !regexp.MustCompile(`^[a-z2-7]{13}$`).MatchString(name) {
		t.Errorf("the errand is called %q", name)
	}
	if other := h.ask(t, "GET", "/api/home", nil).header.Get("X-Request-Id"); other == a.header.Get("X-Request-Id") {
		t.Errorf("two errands are called %q", other)
	}
}
