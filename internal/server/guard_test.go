package server

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/fstest"
)

// bare is a server without anything behind it: enough for what comes before a
// handler.
func bare(built bool) *Server {
	return New(Deps{Version: "test", Page: Page{Built: built, Files: fstest.MapFS{
		"index.html":    {Data: []byte("<!doctype html><title>tenoff</title>")},
		"assets/app.js": {Data: []byte("export {}")},
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
		{"shell", "GET", "/", true, 200, "<!doctype html><title>tenoff</title>"},
		{"a screen's address", "GET", "/bullpens/abc", true, 200, "<!doctype html><title>tenoff</title>"},
		{"asset", "GET", "/assets/app.js", true, 200, "export {}"},
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
