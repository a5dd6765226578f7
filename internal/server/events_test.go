package server

import (
	"bufio"
	"net/http"
	"strings"
	"testing"

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
		case line := <-lines:
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

// jobOfNobody is a job that no handler knows and no worker takes.
func jobOfNobody(h *house) store.NewJob {
	return store.NewJob{Kind: "sweep the yard", Subject: "yard", BullpenID: h.vars["pen"]}
}
