package server

import (
	"net/http"
	"strings"
	"testing"

	"tenoff/internal/passphrase"
)

const phrase = "seven quiet wall balls"

// guarded is a house that asks for a passphrase, with its owner.
func guarded(t *testing.T) *house {
	t.Helper()
	h := newHouseFor(t, Access{Guarded: true, Hosts: []string{"films.example"}, Public: "https://films.example"})
	hash, err := passphrase.Hash(phrase)
	if err != nil {
		t.Fatal(err)
	}
	if err := h.deps.Store.SetOwner(t.Context(), "Robin", hash); err != nil {
		t.Fatal(err)
	}
	return h
}

// signIn signs in and keeps the cookie.
func (h *house) signIn(t *testing.T, name, phrase string) answer {
	t.Helper()
	h.vars["cookie"] = ""
	a := h.send(t, "POST", "/api/session", `{"name":"`+name+`","passphrase":"`+phrase+`"}`)
	h.vars["cookie"], _, _ = strings.Cut(a.header.Get("Set-Cookie"), ";")
	return a
}

func TestSessions(t *testing.T) {
	const get, post, put, del = http.MethodGet, http.MethodPost, http.MethodPut, http.MethodDelete
	h := guarded(t)
	if a := h.ask(t, get, "/api/session", nil); !strings.Contains(a.body, `"signedIn":false`) {
		t.Errorf("nobody is %s", a.body)
	}
	wrong := h.signIn(t, "Robin", "seven quiet wall bells")
	unknown := h.signIn(t, "Robyn", phrase)
	if wrong.status != http.StatusUnauthorized || wrong.body != unknown.body || h.vars["cookie"] != "" {
		t.Errorf("a wrong passphrase: %d %s; an unknown name: %s", wrong.status, wrong.body, unknown.body)
	}
	a := h.signIn(t, "robin", phrase)
	cookie := a.header.Get("Set-Cookie")
	for _, part := range []string{"HttpOnly", "SameSite=Strict", "Path=/"} {
		if !strings.Contains(cookie, part) {
			t.Errorf("a cookie without %s: %s", part, cookie)
		}
	}
	h.run(t, []exchange{
		{"signed in", get, "/api/session", "", 200, `"name":"Robin","owner":true`, nil},
		{"her pitchers", post, "/api/pitchers", `{"label":"Wren"}`, 201, "", map[string]string{"wren": "id"}},
		{"another instructor", post, "/api/accounts", `{"name":"Sam","passphrase":"` + phrase + `"}`, 201, `"name":"Sam","owner":false`, map[string]string{"sam": "accounts.1.id", "robin": "accounts.0.id"}},
		{"the same name", post, "/api/accounts", `{"name":"sam","passphrase":"` + phrase + `"}`, 409, "", nil},
		{"too short", post, "/api/accounts", `{"name":"Kit","passphrase":"short"}`, 422, "", nil},
		{"list them", get, "/api/accounts", "", 200, `"name":"Sam"`, nil},
		{"the owner stays", del, "/api/accounts/$robin", "", 422, "", nil},
	})
	robin := h.vars["cookie"]
	h.signIn(t, "Sam", phrase)
	h.run(t, []exchange{
		{"Sam's pitchers are others", get, "/api/pitchers", "", 200, `"pitchers":[]`, nil},
		{"she sees none of Robin's", get, "/api/pitchers/$wren", "", 404, "", nil},
		{"nor the accounts", get, "/api/accounts", "", 403, "", nil},
		{"a pitcher of her own", post, "/api/pitchers", `{"label":"Jay"}`, 201, "", map[string]string{"jay": "id"}},
		{"with the wrong old one", put, "/api/passphrase", `{"old":"nothing like it","new":"eight quiet wall balls"}`, 422, "", nil},
		{"another passphrase", put, "/api/passphrase", `{"old":"` + phrase + `","new":"eight quiet wall balls"}`, 200, "", nil},
		{"which signs out", get, "/api/pitchers", "", 401, "", nil},
	})
	if a := h.signIn(t, "Sam", phrase); a.status != http.StatusUnauthorized {
		t.Errorf("the old passphrase: %d", a.status)
	}
	sam := h.signIn(t, "Sam", "eight quiet wall balls")
	if sam.status != http.StatusOK {
		t.Fatalf("the new one: %d %s", sam.status, sam.body)
	}
	h.vars["cookie"] = robin
	h.run(t, []exchange{
		{"she still has a pitcher", del, "/api/accounts/$sam", "", 422, "1 pitchers", nil},
		{"from the owner", put, "/api/accounts/$sam/passphrase", `{"passphrase":"nine quiet wall balls"}`, 200, "", nil},
		{"no such account", put, "/api/accounts/nope/passphrase", `{"passphrase":"nine quiet wall balls"}`, 404, "", nil},
	})
	h.signIn(t, "Sam", "nine quiet wall balls")
	h.run(t, []exchange{
		{"count hers", get, "/api/pitchers/$jay/removal", "", 200, "", map[string]string{"confirm": "confirm"}},
		{"without her", del, "/api/pitchers/$jay?confirm=$confirm", "", 200, "", nil},
		{"goodbye", del, "/api/session", "", 200, `"signedIn":false`, nil},
	})
	h.vars["cookie"] = robin
	h.run(t, []exchange{{"Sam goes", del, "/api/accounts/$sam", "", 200, "", nil}})
	if a := h.ask(t, get, "/api/session", nil, "Cookie", "tenoff=x"); !strings.Contains(a.body, `"signedIn":false`) {
		t.Errorf("a made-up cookie: %s", a.body)
	}
	// Whoever goes on guessing is told to wait, with the right passphrase too.
	last := 0
	for range 8 {
		last = h.signIn(t, "Robin", "a wrong guess of it").status
	}
	if last != http.StatusTooManyRequests {
		t.Errorf("the last of many guesses: %d", last)
	}
	if a := h.signIn(t, "Robin", phrase); a.status != http.StatusTooManyRequests {
		t.Errorf("after them: %d", a.status)
	}
}

// Links to a guarded house lead to its public address.
func TestPublicLink(t *testing.T) {
	h := guarded(t)
	h.signIn(t, "Robin", phrase)
	h.keep(t, "wren", "id", h.send(t, "POST", "/api/pitchers", `{"label":"Wren"}`))
	h.keep(t, "workout", "id", h.send(t, "POST", "/api/workouts", twoSets))
	h.send(t, "POST", "/api/pitchers/$wren/consents", `{"guardian":"mother","given":"2026-05-01","covers":"films"}`)
	h.keep(t, "hw", "id", h.send(t, "POST", "/api/homework", `{"pitcherId":"$wren","workoutId":"$workout"}`))
	a := h.send(t, "POST", "/api/homework/$hw/slips", `{}`)
	if !strings.Contains(a.body, `"link":"https://films.example/s#`) || !strings.Contains(a.body, `"reachable":true`) {
		t.Errorf("%s", a.body)
	}
}
