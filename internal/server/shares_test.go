package server

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"tenoff/internal/homework"
)

// A link shows one bullpen's result and the clips that were chosen, until it runs out, is
// revoked, or the guardian takes her word back; and says no more then than of a link that
// never was.
func TestShare(t *testing.T) {
	const get, post, patch, del = http.MethodGet, http.MethodPost, http.MethodPatch, http.MethodDelete
	h := filmed(t)
	frame := drawn.truth.Reps[0].Release.Frame
	h.run(t, []exchange{
		{"whose it is", get, "/api/bullpens/$pen", "", 200, "", map[string]string{"wren": "pitcher.id", "version": "bullpen.version"}},
		{"a note of the instructor's own", patch, "/api/bullpens/$pen", `{"version":$version,"note":"mind her shoulder"}`, 200, "", nil},
		{"a fastball", post, "/api/bullpens/$pen/reps", fmt.Sprintf(`{"filmId":"$film","release":%d,"reading":{"value":55,"unit":"mph","step":1,"gun":"behind catcher"}}`, frame), 201, "", map[string]string{"rep": "rep.id"}},
		{"a change-up", post, "/api/bullpens/$pen/reps", `{"pitch":"ch","note":"tipped it","reading":{"value":45,"unit":"mph","step":1,"gun":"behind catcher"}}`, 201, "", map[string]string{"off": "rep.id"}},
		{"its clip", post, "/api/bullpens/$pen/clips", `{"repIds":["$rep"],"options":{"before":0.3,"after":0.2}}`, 202, "", map[string]string{"clip": "clips.0.id"}},
	})
	h.until(t, "/api/clips/$clip", func(body string) bool { return strings.Contains(body, `"state":"ready"`) })
	h.run(t, []exchange{
		{"no link before a guardian said yes", post, "/api/bullpens/$pen/shares", `{}`, 422, "consent", nil},
		{"which the list says", get, "/api/bullpens/$pen/shares", "", 200, `"shares":[],"consent":false,"message":"Wren’s bullpen, for her and her parents only: …"`, nil},
		{"she says yes", post, "/api/pitchers/$wren/consents", `{"guardian":"her mother","given":"2026-05-01","covers":"results","for":["results"]}`, 201, "", map[string]string{"consent": "consents.0.id"}},
		{"a clip there is not", post, "/api/bullpens/$pen/shares", `{"clipIds":["nope"]}`, 422, "shows another pitcher", nil},
		{"one clip twice", post, "/api/bullpens/$pen/shares", `{"clipIds":["$clip","$clip"]}`, 422, "chosen twice", nil},
		{"a link", post, "/api/bullpens/$pen/shares", `{"days":3,"clipIds":["$clip"]}`, 201, `"clipIds":["$clip"]
			"reachable":false
			"qrSvg":"data:image/svg+xml,
			"shareText":"Wren’s bullpen, for her and her parents only: http`, map[string]string{"link": "link", "share": "share.id"}},
		{"no bullpen", post, "/api/bullpens/nope/shares", `{}`, 404, "", nil},
	})
	before, token, _ := strings.Cut(h.vars["link"], "#")
	if len(token) != 26 || !strings.HasSuffix(before, "/r") { // 130 bits, five a letter, behind the #
		t.Errorf("the link is %s", h.vars["link"])
	}
	h.vars["shareToken"] = token
	page := h.ask(t, get, "/api/share", nil)
	if page.status != http.StatusOK || page.header.Get("Cache-Control") != "no-store" || page.header.Get("Referrer-Policy") != "no-referrer" || page.header.Get("Content-Encoding") != "" {
		t.Fatalf("%d %v", page.status, page.header)
	}
	for _, want := range []string{`"pitcher":"Wren"`, `"headline":"So far 1 of 1 about ten off."`, `"language":"es"`, `"order":2,"pitch":"ch"`, `"behind":{"feet":`, `"reps":[{"order":1,"pitch":"fb"}]`} {
		if !strings.Contains(page.body, want) {
			t.Errorf("no %s in %s", want, page.body)
		}
	}
	for _, secret := range []string{"mind her shoulder", "tipped it", h.vars["film"], h.vars["pen"], h.vars["wren"], h.vars["rep"], h.vars["off"], "her mother", token} {
		if strings.Contains(page.body, secret) {
			t.Errorf("%q is told in %s", secret, page.body)
		}
	}
	h.keep(t, "file", "clips.0.file", page)
	part := h.ask(t, get, "$file", nil, "Range", "bytes=4-7")
	if part.status != http.StatusPartialContent || part.body != "ftyp" {
		t.Errorf("a range of the clip: %d %q", part.status, part.body)
	}
	h.keep(t, "captions", "clips.0.captions", page)
	if a := h.ask(t, get, "$captions", nil); a.status != http.StatusOK || !strings.HasPrefix(a.body, "WEBVTT") {
		t.Errorf("captions: %d %.20q", a.status, a.body)
	}

	// Another pitcher's clip is not chosen, and its ticket opens nothing.
	h.run(t, []exchange{
		{"another pitcher", post, "/api/bullpens", `{"pitcherLabel":"Jay"}`, 201, "", map[string]string{"jaysPen": "id", "jay": "pitcherId"}},
		{"her father says yes", post, "/api/pitchers/$jay/consents", `{"guardian":"her father","given":"2026-05-01","covers":"results","for":["results"]}`, 201, "", nil},
		{"a clip of Wren for her", post, "/api/bullpens/$jaysPen/shares", `{"clipIds":["$clip"]}`, 422, "shows another pitcher", nil},
		{"nothing came of it", get, "/api/bullpens/$jaysPen/shares", "", 200, `"shares":[]`, nil},
	})
	h.share(t, "jaysShare", "jaysToken", h.vars["jaysPen"], time.Hour)
	nothing := h.ask(t, get, "/api/share/files/"+h.deps.Homework.Sign(homework.Ticket{Link: "nope", Kind: "clip", Of: "nope"}), nil)
	for name, ticket := range map[string]homework.Ticket{
		"another's clip": {Link: h.vars["jaysShare"], Kind: "clip", Of: h.vars["clip"]},
		"of no kind":     {Link: h.vars["share"], Kind: "frame", Of: h.vars["clip"]},
		"not chosen":     {Link: h.vars["share"], Kind: "clip", Of: "nope"},
	} {
		if a := h.ask(t, get, "/api/share/files/"+h.deps.Homework.Sign(ticket), nil); a.status != http.StatusNotFound || a.body != nothing.body {
			t.Errorf("%s: %d %s", name, a.status, a.body)
		}
	}

	never := h.ask(t, get, "/api/share", nil, shareHeader, "aaaaaaaaaaaaaaaaaaaaaaaaaa")
	shut := func(why string) {
		t.Helper()
		if a := h.ask(t, get, "/api/share", nil); a.status != http.StatusNotFound || a.body != never.body {
			t.Errorf("%s: %d %s, but of a link that never was %s", why, a.status, a.body, never.body)
		}
		if a := h.ask(t, get, "$file", nil); a.status != http.StatusNotFound || a.body != nothing.body {
			t.Errorf("%s: the clip is still there: %d", why, a.status)
		}
	}
	h.run(t, []exchange{{"her mother takes it back", post, "/api/consents/$consent/withdraw", "", 200, `"linksClosed":1`, nil}})
	shut("withdrawn")
	h.run(t, []exchange{
		{"not opened again by another yes", post, "/api/pitchers/$wren/consents", `{"guardian":"her mother","given":"2026-05-02","covers":"results","for":["results"]}`, 201, "", nil},
		{"nor renewed", post, "/api/shares/$share/renew", `{}`, 409, "revoked", nil},
		{"a new one", post, "/api/bullpens/$pen/shares", `{"clipIds":["$clip"]}`, 201, "", map[string]string{"link": "link", "share": "share.id"}},
		{"for longer", post, "/api/shares/$share/renew", `{"days":30}`, 200, `"state":"open"`, nil},
	})
	_, h.vars["shareToken"], _ = strings.Cut(h.vars["link"], "#")
	h.keep(t, "file", "clips.0.file", h.ask(t, get, "/api/share", nil))
	h.run(t, []exchange{{"closed", post, "/api/shares/$share/revoke", "", 200, `"state":"revoked"`, nil}})
	shut("revoked")

	// The bullpen of one pitcher becomes another's: what was shared of it no longer is.
	h.share(t, "share", "shareToken", h.vars["pen"], time.Hour, h.vars["clip"])
	h.keep(t, "file", "clips.0.file", h.ask(t, get, "/api/share", nil))
	h.keep(t, "version", "bullpen.version", h.ask(t, get, "/api/bullpens/$pen", nil))
	h.run(t, []exchange{{"it was Jay who threw", patch, "/api/bullpens/$pen", `{"version":$version,"pitcherId":"$jay"}`, 200, "", nil}})
	shut("another's")
	h.share(t, "share", "shareToken", h.vars["pen"], time.Hour, h.vars["clip"])
	page = h.ask(t, get, "/api/share", nil)
	h.keep(t, "file", "clips.0.file", page)
	h.run(t, []exchange{{"its clip is removed", del, "/api/clips/$clip", "", 200, "", nil}})
	if a := h.ask(t, get, "/api/share", nil); a.status != http.StatusOK || !strings.Contains(a.body, `"clips":[]`) {
		t.Errorf("without its clip: %d %s", a.status, a.body)
	}
	h.run(t, []exchange{{"what a deletion takes away", get, "/api/bullpens/$pen/removal", "", 200, `"shares":4`, map[string]string{"confirm": "confirm"}}})
	h.run(t, []exchange{{"deleted", del, "/api/bullpens/$pen?confirm=$confirm", "", 200, `"shares":4`, nil}})
	shut("deleted")
}
