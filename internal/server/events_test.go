package server

import (
	"bufio"
	"net/http"
	"strings"
	"testing"
	"time"

	"tenoff/internal/store"
)

// listen opens the event stream and passes its lines on until the test ends.
func (h *house) listen(t *testing.T, header ...string) <-chan string {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, h.URL+"/api/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	res, err := h.Client().Do(req)
	if err != nil {
		t.Fatal(err)
	}
	if got := res.Header.Get("Content-Type"); got != "text/event-stream" {
		t.Fatalf("events of type %q", got)
	}
	lines := make(chan string)
	done := make(chan struct{})
	go func() {
		defer close(done)
		defer close(lines)
		defer res.Body.Close()
		for s := bufio.NewScanner(res.Body); s.Scan(); {
			select {
			case lines <- s.Text():
			case <-t.Context().Done():
				return
			}
		}
	}()
	t.Cleanup(func() { <-done })
	return lines
}

// await reads lines until one holds all parts.
func await(t *testing.T, lines <-chan string, parts ...string) string {
	t.Helper()
	for {
		select {
		case line, more := <-lines:
			if !more {
				t.Fatalf("the stream ended before %v", parts)
			}
			all := true
			for _, p := range parts {
				all = all && strings.Contains(line, p)
			}
			if all {
				return line
			}
		case <-t.Context().Done():
			t.Fatalf("never heard %v", parts)
		}
	}
}

func TestEvents(t *testing.T) {
	h := newHouse(t)
	h.pen(t)
	lines := h.listen(t, "Last-Event-ID", "12 from another life")
	await(t, lines, ": still here") // it is alive though nothing happens
	h.send(t, http.MethodPost, "/api/bullpens/$pen/reps", `{}`)
	await(t, lines, "event: bullpen")
	await(t, lines, "data: ", `"bullpenId":"`+h.vars["pen"]+`","revision":2`)
	if a := h.upload(t, drawn.path, "wren.mp4"); a.status != http.StatusCreated {
		t.Fatalf("upload: %d %s", a.status, a.body)
	}
	await(t, lines, "event: job")
	await(t, lines, "data: ", `"kind":"read film"`, `"subject":"`+h.vars["film"]+`"`)
	await(t, lines, "data: ", `"subject":"`+h.vars["film"]+`"`, `"state":"done"`)
	late := h.listen(t)
	h.send(t, http.MethodPost, "/api/bullpens/$pen/reps", `{}`)
	await(t, late, `"bullpenId":"`+h.vars["pen"]+`"`)
}

// A listener that comes late is told what is unfinished.
func TestEventsBeginWithUnfinishedJobs(t *testing.T) {
	h := newHouse(t)
	h.pen(t)
	if _, err := h.deps.Store.AddJob(t.Context(), jobOfNobody(h)); err != nil {
		t.Fatal(err)
	}
	await(t, h.listen(t), "data: ", `"kind":"sweep the yard"`)
}

// A server that closes ends its streams, so that a shutdown need not wait.
func TestCloseEndsEvents(t *testing.T) {
	h := newHouse(t)
	lines := h.listen(t)
	await(t, lines, ": tenoff")
	h.server.Close()
	if err := h.Config.Shutdown(t.Context()); err != nil { // it returns at all
		t.Error(err)
	}
}

// A stream ends with the session that it began with, however that ends, and nobody
// else's does; nothing is told to whoever is out.
func TestEventsEndWithTheSession(t *testing.T) {
	const post, put, del = http.MethodPost, http.MethodPut, http.MethodDelete
	h := guarded(t)
	h.server.heartbeat = time.Hour // it is told, not found out by and by
	h.signIn(t, "Robin", phrase)
	robin := h.vars["cookie"]
	h.keep(t, "sam", "accounts.1.id", h.send(t, post, "/api/accounts", `{"name":"Sam","passphrase":"`+phrase+`"}`))
	owners := h.listen(t, "Cookie", robin)
	for _, c := range []struct {
		how string
		end func() answer
	}{
		{"she signs out", func() answer { return h.send(t, del, "/api/session", "") }},
		{"she changes her passphrase", func() answer {
			return h.send(t, put, "/api/passphrase", `{"old":"`+phrase+`","new":"eight quiet wall balls"}`)
		}},
		{"the owner gives her another", func() answer {
			h.vars["cookie"] = robin
			return h.send(t, put, "/api/accounts/$sam/passphrase", `{"passphrase":"`+phrase+`"}`)
		}},
		{"the owner removes her account", func() answer {
			h.vars["cookie"] = robin
			return h.send(t, del, "/api/accounts/$sam", "")
		}},
	} {
		if a := h.signIn(t, "Sam", phrase); a.status != http.StatusOK {
			if a = h.signIn(t, "Sam", "eight quiet wall balls"); a.status != http.StatusOK {
				t.Fatalf("before %s: %d %s", c.how, a.status, a.body)
			}
		}
		lines := h.listen(t, "Cookie", h.vars["cookie"])
		await(t, lines, ": tenoff")
		if a := c.end(); a.status != http.StatusOK {
			t.Fatalf("%s: %d %s", c.how, a.status, a.body)
		}
		for range lines { // it is closed when the stream ends
		}
	}
	h.vars["cookie"] = robin
	h.keep(t, "pen", "id", h.send(t, post, "/api/bullpens", `{"pitcherLabel":"Wren"}`))
	await(t, owners, `"bullpenId":"`+h.vars["pen"]+`"`)
}

// jobOfNobody is a job that no handler knows and no worker takes.
func jobOfNobody(h *house) store.NewJob {
	return store.NewJob{Kind: "sweep the yard", Subject: "yard", BullpenID: h.vars["pen"]}
}
