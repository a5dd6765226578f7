package server

import (
	"net/http"
	"strings"
	"testing"
)

// A student's page is in her pitcher's language unless the page asks for another; so is
// what refuses her, and the starter drills that nobody changed.
func TestSlipInTwoLanguages(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{}`)
	english := h.ask(t, http.MethodGet, "/api/slip", nil)
	for _, part := range []string{`"language":"en"`, `"drill":"Wrist snap"`, `"howTo":"Stand close to the net`} {
		if !strings.Contains(english.body, part) {
			t.Errorf("no %s in %s", part, english.body)
		}
	}
	if a := h.send(t, http.MethodPatch, "/api/pitchers/$wren", `{"version":1,"language":"es"}`); a.status != 200 {
		t.Fatal(a.body)
	}
	hers := h.ask(t, http.MethodGet, "/api/slip", nil)
	for _, part := range []string{`"language":"es"`, `"drill":"Golpe de muñeca"`, `"name":"Golpe de muñeca"`, `"howTo":"Ponte cerca de la red`} {
		if !strings.Contains(hers.body, part) {
			t.Errorf("no %s in %s", part, hers.body)
		}
	}
	for language, part := range map[string]string{"en": `"language":"en"`, "es": `"language":"es"`, "xx": `"language":"en"`} {
		if a := h.ask(t, http.MethodGet, "/api/slip", nil, languageHeader, language); !strings.Contains(a.body, part) {
			t.Errorf("asked in %s: %s", language, a.body)
		}
	}
	// Before the page knows whose it is, what refuses it is in the browser's language; her own goes before that.
	for browsers, part := range map[string]string{"es-MX,es;q=0.9": "Este enlace no abre nada", "en-US,en;q=0.9": "This link opens nothing"} {
		if a := h.ask(t, http.MethodGet, "/api/share", nil, shareHeader, "none", "Accept-Language", browsers); a.status != http.StatusNotFound || !strings.Contains(a.body, part) {
			t.Errorf("%s: %d %s", browsers, a.status, a.body)
		}
	}
	if a := h.ask(t, http.MethodGet, "/api/slip", nil, "Accept-Language", "en-US"); !strings.Contains(a.body, `"language":"es"`) {
		t.Errorf("her language gave way to the browser's: %s", a.body)
	}
	large := strings.NewReader(`{"note":"` + strings.Repeat("x", wordsBody) + `"}`)
	if a := h.ask(t, http.MethodPut, "/api/slip/words", large, languageHeader, "es", "Content-Type", "application/json"); a.status != http.StatusRequestEntityTooLarge || !strings.Contains(a.body, "Es demasiado de una vez") {
		t.Errorf("%d %s", a.status, a.body)
	}
	wrong := strings.NewReader(`{"note":"","readings":[{"place":299,"value":50,"unit":"mph"}]}`)
	a := h.ask(t, http.MethodPut, "/api/slip/words", wrong, languageHeader, "es", "Content-Type", "application/json")
	if a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, "no hay un lugar 300") {
		t.Errorf("%d %s", a.status, a.body)
	}
	refused := h.tusAsk(t, http.MethodPost, "/api/slip/uploads", nil, "Upload-Length", "0", "Upload-Metadata", "filename YS5tcDQ=", languageHeader, "es")
	if !strings.Contains(refused.body, "“a.mp4” está vacío") {
		t.Errorf("%d %s", refused.status, refused.body)
	}
}
