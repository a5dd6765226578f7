package server

import (
	"compress/gzip"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// TestPacked asks for answers as a browser does: a long one is packed and unpacks to
// the same, a short one, events, films by ranges and whatever may hold a secret beside
// somebody else's words are not.
func TestPacked(t *testing.T) {
	h := filmed(t)
	for range 30 {
		rep := bullpen.Rep{BullpenID: h.vars["pen"], Pitch: bullpen.Fastball, Drive: -1, Plant: -1, Top: -1, Release: -1, Note: strings.Repeat("hips first ", 12)}
		if _, _, err := h.deps.Store.AddRep(t.Context(), rep); err != nil {
			t.Fatal(err)
		}
	}
	plain := h.ask(t, http.MethodGet, "/api/bullpens/$pen", nil, "Accept-Encoding", "identity")
	long := h.ask(t, http.MethodGet, "/api/bullpens/$pen", nil, "Accept-Encoding", "gzip, deflate, br, zstd")
	if got := long.header.Get("Content-Encoding"); got != "gzip" {
		t.Fatalf("a sheet of %d bytes comes as %q", len(plain.body), got)
	}
	unpacked, err := gzip.NewReader(strings.NewReader(long.body))
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(unpacked)
	if err != nil || string(text) != plain.body || !json.Valid(text) {
		t.Errorf("the sheet unpacks to another one, %v", err)
	}
	if len(long.body) > len(plain.body)/3 {
		t.Errorf("%d bytes are packed into %d", len(plain.body), len(long.body))
	}
	for _, a := range []answer{plain, long} {
		if !strings.Contains(a.header.Get("Vary"), "Accept-Encoding") {
			t.Errorf("a cache may mix packed and plain: Vary %q", a.header.Get("Vary"))
		}
	}
	for path, header := range map[string][]string{
		"/api/health":                    nil,
		"/api/films/$film/strip/0.jpg":   nil,
		"/api/films/$film/working.mp4":   {"Range", "bytes=0-9999"},
		"/api/pitch-types?cb=$film":      {"Accept-Encoding", "gzip;q=0"},
		"/api/bullpens/$pen?plain=$film": {"Accept-Encoding", "br"},
	} {
		if header == nil || header[0] != "Accept-Encoding" {
			header = append(header, "Accept-Encoding", "gzip, br")
		}
		if a := h.ask(t, http.MethodGet, path, nil, header...); a.status >= 400 || a.header.Get("Content-Encoding") != "" {
			t.Errorf("%s: %d, packed as %q", path, a.status, a.header.Get("Content-Encoding"))
		}
	}
}

// TestSecretsAreNotPacked holds the routes that may be packed against those that answer
// with a token or a ticket, or with a student's words beside the instructor's.
func TestSecretsAreNotPacked(t *testing.T) {
	for path, item := range New(Deps{}).Document().Paths {
		for method := range operations(item) {
			r, err := http.NewRequestWithContext(t.Context(), method, "http://127.0.0.1"+strings.NewReplacer("{", "", "}", "").Replace(path), nil)
			if err != nil {
				t.Fatal(err)
			}
			secret := method != http.MethodGet || whoMay(path) != instructor || strings.HasPrefix(path, "/api/homework")
			if secret && mayPack(r) {
				t.Errorf("%s %s may be packed", method, path)
			}
		}
	}
}
