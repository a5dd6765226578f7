package server

import (
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/fstest"

	"tenoff/internal/intake"
)

// kept is the name under which a browser may keep the script for good, with the first
// digits of its SHA-256; shell is a page that asks for it by that.
var (
	sum   = sha256.Sum256([]byte("export {}"))
	kept  = "/assets/app." + hex.EncodeToString(sum[:6]) + ".js"
	shell = `<!doctype html><title>tenoff</title><script src="` + kept + `"></script>`
)

// bare is a server without anything behind it: enough for what comes before a
// handler.
func bare(built bool) *Server {
	return New(Deps{Version: "test", Intake: intake.New(nil, nil, intake.Options{}), Page: Page{Built: built, Files: fstest.MapFS{
		"index.html":       {Data: []byte(`<!doctype html><title>tenoff</title><script src="/assets/app.js"></script>`)},
		"phone.html":       {Data: []byte(`<!doctype html><script src="/assets/PAGE.js"></script>`)},
		"assets/app.js":    {Data: []byte("export {}")},
		"assets/app.js.gz": {Data: []byte("packed")},
		"assets/app.js.br": {Data: []byte("small")},
	}}})
}

func TestForeignRequestsAreRefused(t *testing.T) {
	for _, c := range []struct {
		name, method, path, host string
		header                   map[string]string
		want                     int
	}{
		{"own address", "GET", "/api/pitch-types", "127.0.0.1:7300", nil, 200},
		{"own name", "GET", "/api/pitch-types", "localhost:7300", nil, 200},
		{"own IPv6", "GET", "/api/pitch-types", "[::1]:7300", nil, 200},
		{"tunnelled port", "GET", "/api/pitch-types", "127.0.0.1:9999", nil, 200},
		{"rebound name", "GET", "/api/pitch-types", "films.example:7300", nil, 403},
		{"rebound name, page", "GET", "/", "films.example:7300", nil, 403},
		{"name that begins well", "GET", "/api/pitch-types", "localhost.example:7300", nil, 403},
		{"address of a network", "GET", "/api/pitch-types", "192.168.1.4:7300", nil, 403},
		{"no host", "GET", "/api/pitch-types", "", nil, 403},
		{"own origin", "GET", "/api/pitch-types", "127.0.0.1:7300", map[string]string{"Origin": "http://127.0.0.1:7300"}, 200},
		{"foreign origin, read", "GET", "/api/pitch-types", "127.0.0.1:7300", map[string]string{"Origin": "http://films.example"}, 403},
		{"foreign origin, write", "POST", "/api/pitchers", "127.0.0.1:7300", map[string]string{"Origin": "http://films.example"}, 403},
		{"other port's origin", "POST", "/api/pitchers", "127.0.0.1:7300", map[string]string{"Origin": "http://127.0.0.1:8080"}, 403},
		{"opaque origin", "POST", "/api/pitchers", "127.0.0.1:7300", map[string]string{"Origin": "null"}, 403},
		{"cross-site write without origin", "POST", "/api/pitchers", "127.0.0.1:7300", map[string]string{"Sec-Fetch-Site": "cross-site"}, 403},
		{"same-site write", "POST", "/api/pitchers", "127.0.0.1:7300", map[string]string{"Sec-Fetch-Site": "same-site"}, 403},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest(c.method, c.path, nil)
			r.Host = c.host
			for k, v := range c.header {
				r.Header.Set(k, v)
			}
			w := httptest.NewRecorder()
			bare(true).ServeHTTP(w, r)
			if w.Code != c.want {
				t.Errorf("answered %d, want %d: %s", w.Code, c.want, w.Body)
			}
			if c.want == http.StatusForbidden && w.Header().Get("Content-Type") != "application/problem+json" {
				t.Errorf("a refusal of type %q", w.Header().Get("Content-Type"))
			}
		})
	}
}

func TestEveryAnswerCarriesTheSecurityHeaders(t *testing.T) {
	for _, path := range []string{"/", "/api/pitch-types", "/api/nowhere", "/assets/app.js"} {
		r := httptest.NewRequest("GET", path, nil)
		r.Host = "127.0.0.1:7300"
		w := httptest.NewRecorder()
		bare(true).ServeHTTP(w, r)
		for _, name := range []string{"Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy", "Cross-Origin-Resource-Policy", "Cache-Control"} {
			if w.Header().Get(name) == "" {
				t.Errorf("%s: no %s", path, name)
			}
		}
	}
}

func TestPage(t *testing.T) {
	for _, c := range []struct {
		name, method, path string
		built              bool
		want               int
		body               string
	}{
		{"shell", "GET", "/", true, 200, shell},
		{"a slip's page", "GET", "/s", true, 200, `<!doctype html><script src="/assets/slip.js"></script>`},
		{"a result's page", "GET", "/r", true, 200, `<!doctype html><script src="/assets/share.js"></script>`},
		{"the field's page", "GET", "/field", true, 200, `<!doctype html><script src="/assets/field.js"></script>`},
		{"a screen's address", "GET", "/bullpens/abc", true, 200, shell},
		{"asset", "GET", "/assets/app.js", true, 200, "export {}"},
		{"the shell of the small pages by itself", "GET", "/phone.html", true, 404, "404 page not found\n"},
		{"missing asset", "GET", "/assets/no.js", true, 404, "404 page not found\n"},
		{"outside", "GET", "/../../etc/passwd", true, 400, "invalid URL path\n"},
		{"never built", "GET", "/", false, 503, unbuilt + "\n"},
		{"written to", "POST", "/", true, 405, ""},
		{"no such route", "GET", "/api/nowhere", true, 404, ""},
		{"wrong method", "PUT", "/api/home", true, 405, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest(c.method, c.path, nil)
			r.Host = "localhost"
			w := httptest.NewRecorder()
			bare(c.built).ServeHTTP(w, r)
			if w.Code != c.want {
				t.Errorf("answered %d, want %d", w.Code, c.want)
			}
			if c.body != "" && w.Body.String() != c.body {
				t.Errorf("answered %q, want %q", w.Body, c.body)
			}
		})
	}
}

// The page's files go packed to whoever can unpack them, and not at all to a browser
// that has them.
func TestPageIsPackedAndKept(t *testing.T) {
	ask := func(path string, header ...string) *httptest.ResponseRecorder {
		r := httptest.NewRequest("GET", path, nil)
		r.Host = "localhost"
		for i := 0; i < len(header); i += 2 {
			r.Header.Set(header[i], header[i+1])
		}
		w := httptest.NewRecorder()
		bare(true).ServeHTTP(w, r)
		return w
	}
	// RFC 8246: what is immutable under its name is not asked for again.
	if w := ask(kept, "Accept-Encoding", "br"); w.Body.String() != "small" || w.Header().Get("Cache-Control") != "public, max-age=31536000, immutable" {
		t.Errorf("%s: %q, kept as %q", kept, w.Body, w.Header().Get("Cache-Control"))
	}
	for _, path := range []string{"/", "/assets/app.js"} {
		if w := ask(path); w.Header().Get("Cache-Control") != "no-cache" {
			t.Errorf("%s may be kept: %q", path, w.Header().Get("Cache-Control"))
		}
	}
	if w := ask("/assets/app.0123456789ab.js"); w.Code != http.StatusNotFound {
		t.Errorf("another program's script was answered with %d", w.Code)
	}
	for _, c := range []struct {
		path, accepts, coding, body string
	}{
		{"/assets/app.js", "gzip, deflate, br, zstd", "br", "small"},
		{"/assets/app.js", "gzip, br;q=0", "gzip", "packed"},
		{"/assets/app.js", "gzip;q=0.5", "gzip", "packed"},
		{"/assets/app.js", "gzip; q=0", "", "export {}"},
		{"/assets/app.js", "deflate", "", "export {}"},
		{"/assets/app.js", "", "", "export {}"},
		{"/", "gzip", "", shell},
	} {
		w := ask(c.path, "Accept-Encoding", c.accepts)
		if w.Header().Get("Content-Encoding") != c.coding || w.Body.String() != c.body {
			t.Errorf("%s for %q: %q in %q", c.path, c.accepts, w.Body, w.Header().Get("Content-Encoding"))
		}
		if w.Header().Get("Vary") != "Accept-Encoding" {
			t.Errorf("%s does not say that it varies", c.path)
		}
	}
	packed, plain := ask("/assets/app.js", "Accept-Encoding", "gzip"), ask("/assets/app.js")
	tag := packed.Header().Get("ETag")
	if tag == "" || tag == plain.Header().Get("ETag") {
		t.Errorf("tags %q and %q", tag, plain.Header().Get("ETag"))
	}
	if w := ask("/assets/app.js", "Accept-Encoding", "gzip", "If-None-Match", tag); w.Code != http.StatusNotModified || w.Body.Len() != 0 {
		t.Errorf("what the browser has was answered with %d and %d bytes", w.Code, w.Body.Len())
	}
}
