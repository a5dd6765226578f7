package server

import (
	"net/http/httptest"
	"testing"
)

func TestFilmsGoByPieces(t *testing.T) {
	for asked, want := range map[string]string{
		"":                           "",
		"bytes=0-":                   "bytes=0-1048575",
		"bytes=5000000000-":          "bytes=5000000000-5001048575",
		"bytes=0-99":                 "bytes=0-99",
		"bytes=-500":                 "bytes=-500",
		"bytes=0-,5-":                "bytes=0-,5-",
		"bytes=9999999999999999999-": "bytes=9999999999999999999-",
		"frames=0-":                  "frames=0-",
	} {
		r := httptest.NewRequest("GET", "/", nil)
		if asked != "" {
			r.Header.Set("Range", asked)
		}
		if byPieces(r); r.Header.Get("Range") != want {
			t.Errorf("%q became %q, want %q", asked, r.Header.Get("Range"), want)
		}
	}
}
