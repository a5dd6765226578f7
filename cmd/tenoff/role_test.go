package main

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// What does not go together is refused before anything is opened.
func TestRoles(t *testing.T) {
	for args, want := range map[string]string{
		"--role web":     "goes with --store",
		"--role work":    "goes with --store",
		"--role neither": "--role is web, work or both",
		"--leave 2m":     "up to a minute",
		"--leave 9s":     "--leave goes with --store",
		"--store postgres://x@/y --role work --listen 127.0.0.1:0": "--listen goes with a role that answers",
		"--store postgres://x@/y --role work --lan":                "--lan goes with a role that answers",
		"--watch 7301":         "--watch takes HOST:PORT",
		"--watch 0.0.0.0:7301": "token of 16 letters",
		"--watch :7301":        "token of 16 letters",
		"--store postgres://x@/y --role web --leave -1s": "up to a minute",
	} {
		t.Setenv(watchToken, "short")
		code, _, says := call(t.Context(), append([]string{"serve", "--data", t.TempDir()}, strings.Fields(args)...)...)
		if code != exitUsage || !strings.Contains(says, want) {
			t.Errorf("%s: %d %s", args, code, says)
		}
	}
}

// Figures that need no token are told to whoever asks this machine by its own name only.
func TestOnlyHere(t *testing.T) {
	h := onlyHere(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusOK) }))
	for host, want := range map[string]int{
		"127.0.0.1:7301": 200, "localhost:7301": 200, "[::1]:7301": 200, "localhost": 200,
		"attacker.example:7301": 403, "127.0.0.1.attacker.example": 403, "192.0.2.7:7301": 403, "": 403,
	} {
		r := httptest.NewRequest(http.MethodGet, "/metrics", nil)
		r.Host = host
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != want {
			t.Errorf("%q: %d, want %d", host, w.Code, want)
		}
	}
}
