package server

import (
	"fmt"
	"net/http"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

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
}

// Whoever goes on guessing from elsewhere is told to wait, with the right passphrase
// too; whoever sits at the machine gets in meanwhile.
func TestGuessingPassphrases(t *testing.T) {
	h := guarded(t)
	h.vars["host"] = "films.example"
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
	h.vars["host"] = ""
	if a := h.ask(t, http.MethodPost, "/api/session", strings.NewReader(`{"name":"Robin","passphrase":"`+phrase+`"}`), "X-Forwarded-For", "192.0.2.7"); a.status != http.StatusTooManyRequests {
		t.Errorf("through a tunnel: %d", a.status)
	}
	if a := h.signIn(t, "Robin", phrase); a.status != http.StatusOK {
		t.Errorf("at the machine: %d %s", a.status, a.body)
	}
	h.vars["cookie"] = ""
	for range 8 {
		h.signIn(t, "Robin", "a wrong guess of it")
	}
	if a := h.signIn(t, "Robin", phrase); a.status != http.StatusOK {
		t.Errorf("at the machine, after slips of the finger: %d %s", a.status, a.body)
	}
}

// What comes over loopback may be a bare forward of the port to a stranger: guesses from
// there are counted too, apart from those from elsewhere, and come back soon.
func TestGuessingPassphrasesThroughAForward(t *testing.T) {
	h := guarded(t)
	at := time.Unix(0, 0)
	h.server.inside.counts.(*inMemory).now = func() time.Time { return at }
	for takes(t, h.server.front.attempts, "192.0.2.7", 1) == 1 {
	}
	for range 28 {
		if takes(t, h.server.inside.attempts, "this machine", 1) == 0 {
			t.Fatal("guesses from elsewhere are counted here")
		}
	}
	guess := func() int { return h.signIn(t, "Robin", "a wrong guess of it").status }
	if got := [3]int{guess(), guess(), guess()}; got != [3]int{http.StatusUnauthorized, http.StatusUnauthorized, http.StatusTooManyRequests} {
		t.Errorf("the 29th, 30th and 31st guess: %d", got)
	}
	at = at.Add(5 * time.Second)
	for range 3 { // what is right costs nothing
		if a := h.signIn(t, "Robin", phrase); a.status != http.StatusOK {
			t.Fatalf("5 s later: %d %s", a.status, a.body)
		}
	}
	if first, second := guess(), guess(); first != http.StatusUnauthorized || second != http.StatusTooManyRequests {
		t.Errorf("two more guesses: %d, %d", first, second)
	}
}

// However many strangers guess, whoever is signed in can change her passphrase; a session
// that was stolen is no way to try hers.
func TestChangingAPassphraseWhileStrangersGuess(t *testing.T) {
	h := guarded(t)
	h.server.changing.counts.(*inMemory).now = func() time.Time { return time.Unix(9, 0) } // none comes back while the test runs
	for i := range 200 {
		takes(t, h.server.front.attempts, fmt.Sprintf("198.51.100.%d", i), 1)
	}
	for range hashing + waitingForHash {
		go h.server.front.lane.enter(t.Context())
	}
	for len(h.server.front.lane.there) < cap(h.server.front.lane.there) {
		runtime.Gosched()
	}
	change := func(old string) int {
		if a := h.signIn(t, "Robin", phrase); a.status != http.StatusOK {
			t.Fatalf("sign in: %d %s", a.status, a.body)
		}
		return h.send(t, http.MethodPut, "/api/passphrase", `{"old":"`+old+`","new":"`+phrase+`"}`).status
	}
	all, err := h.deps.Store.Accounts(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	takes(t, h.server.changing.attempts, all[0].ID, 4)
	for i := range 2 { // what is right costs nothing
		if got := change(phrase); got != http.StatusOK {
			t.Fatalf("change %d: %d", i+1, got)
		}
	}
	if wrong, then := change("a wrong guess of it"), change(phrase); wrong != http.StatusUnprocessableEntity || then != http.StatusTooManyRequests {
		t.Errorf("a fifth wrong old one: %d, then the right one: %d", wrong, then)
	}
}

// Eighty guesses at once are no more than five one after another: the others are not
// even computed, and whoever sits at the machine does not wait for them.
func TestGuessingPassphrasesAtOnce(t *testing.T) {
	h := guarded(t)
	var tried, waiting atomic.Int64
	var work sync.WaitGroup
	for range 80 {
		work.Go(func() {
			req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, h.URL+"/api/session", strings.NewReader(`{"name":"Robin","passphrase":"a wrong guess of it"}`))
			if err != nil {
				t.Error(err)
				return
			}
			req.Host = "films.example"
			res, err := h.Client().Do(req)
			if err != nil {
				t.Error(err)
				return
			}
			defer res.Body.Close()
			switch res.StatusCode {
			case http.StatusUnauthorized:
				tried.Add(1)
			case http.StatusTooManyRequests, http.StatusServiceUnavailable:
				waiting.Add(1)
			default:
				t.Errorf("a guess: %d", res.StatusCode)
			}
		})
	}
	if a := h.signIn(t, "Robin", phrase); a.status != http.StatusOK {
		t.Errorf("at the machine: %d %s", a.status, a.body)
	}
	work.Wait()
	if tried.Load() > 5 || tried.Load() == 0 {
		t.Errorf("%d of 80 guesses were tried, %d told to wait", tried.Load(), waiting.Load())
	}
}

func TestNeighbourhood(t *testing.T) {
	for address, want := range map[string]string{
		"192.0.2.7": "192.0.2.7", "2001:db8:1:2:3:4:5:6": "2001:db8:1:2::/64", "2001:db8:1:2::9": "2001:db8:1:2::/64",
		"2001:db8:1:3::9": "2001:db8:1:3::/64", "fe80::1%eth0": "fe80::/64", "::ffff:192.0.2.7": "::ffff:192.0.2.7", "nonsense": "nonsense",
	} {
		if got := neighbourhood(address); got != want {
			t.Errorf("%s is counted as %s, want %s", address, got, want)
		}
	}
}

// Links to a guarded house lead to its public address.
func TestPublicLink(t *testing.T) {
	h := guarded(t)
	h.signIn(t, "Robin", phrase)
	h.keep(t, "wren", "id", h.send(t, "POST", "/api/pitchers", `{"label":"Wren"}`))
	h.keep(t, "workout", "id", h.send(t, "POST", "/api/workouts", twoSets))
	h.send(t, "POST", "/api/pitchers/$wren/consents", `{"guardian":"mother","given":"2026-05-01","covers":"films","for":["homework","results","examples"]}`)
	h.keep(t, "hw", "id", h.send(t, "POST", "/api/homework", `{"pitcherId":"$wren","workoutId":"$workout"}`))
	a := h.send(t, "POST", "/api/homework/$hw/slips", `{}`)
	if !strings.Contains(a.body, `"link":"https://films.example/s#`) || !strings.Contains(a.body, `"reachable":true`) {
		t.Errorf("%s", a.body)
	}
}
