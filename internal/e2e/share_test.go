package e2e

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"tenoff/internal/server/wire"
)

// A bullpen's result is shared in a browser with a guardian's consent, and looked at on a
// phone: the numbers are the bullpen's, the clips that were chosen play and no other is
// there, it is all read in Spanish as well, a touch on a point of the target plays its rep,
// and once the consent is withdrawn the link opens nothing.
func TestShareABullpen(t *testing.T) {
	path, truth := draw(t, 2, 2)
	p := serve(t, t.TempDir())
	pen, film := p.begin(t, path)
	for _, r := range truth.Reps {
		frame := r.Release.Frame
		p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{FilmID: film.ID, Release: &frame, Pitch: r.Pitch, Note: "mind her shoulder"}, nil)
	}
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/readings", wire.Readings{Text: "56 fb 47 ch 54 fb 44 ch"}, nil)
	var sheet wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/clips", wire.NewClips{Options: wire.ClipOptions{Before: 0.8, After: 0.5}}, nil)
	p.must(t, http.MethodPost, "/api/pairs", wire.NewPair{OffRepID: sheet.Reps[1].ID, Before: 0.8, After: 0.5}, nil)
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return len(sheet.Clips) == 5 && finished(t, sheet.Clips) })

	desk := open(t, 1280, 900)
	desk.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID))
	desk.push("Share with her and her parents")
	// The field that comes late has the keyboard, and no yes is ticked for a guardian.
	desk.until(`document.activeElement?.matches("dialog input[data-first]")`)
	desk.write("Who said yes", "her mother")
	desk.push("Put it on record")
	desk.until(`document.querySelector("dialog .alarm")?.innerText === "Tick what they said yes to."`)
	desk.push("Results")
	desk.push("Put it on record")
	// The side by side and the change-ups are chosen to begin with; the second change-up is left out.
	desk.until(`document.querySelectorAll("dialog .picks input:checked").length === 3`)
	desk.accessible("the window to share")
	desk.push("4. change-up")
	desk.until(`document.querySelectorAll("dialog .picks input:checked").length === 2`)
	desk.push("Make the link")
	desk.until(`document.querySelector("[data-link]")`)
	link := eval[string](desk, `document.querySelector("[data-link]").value`)
	before, token, _ := strings.Cut(link, "#")
	if before != p.url+"/r" || len(token) != 26 {
		t.Fatalf("the link is %q", link)
	}
	if message := eval[string](desk, `document.querySelector(".made-link textarea").value`); message != "Wren’s bullpen, for her and her parents only: "+link {
		t.Errorf("the message is %q", message)
	}
	desk.push("Done")

	phone := open(t, 360, 740)
	phone.phone()
	phone.do(chromedp.Navigate(link))
	phone.until(`document.querySelector(".share h1")?.innerText === "So far 2 of 2 about ten off."`)
	shown := func() string {
		return strings.ReplaceAll(eval[string](phone, `document.querySelector(".share").innerText`), "\u00a0", " ")
	}
	for _, want := range []string{
		"Wren", "Pitch 2, change-up", "Pitch 2, change-up, beside pitch 1, fastball", "When she swings at your fastball, this one is 6 feet away.",
		"Side by side", "tell a grown-up", "private and opens until",
	} {
		if !strings.Contains(shown(), want) {
			t.Errorf("%q is not on the page: %s", want, shown())
		}
	}
	for _, not := range []string{"mind her shoulder", "Pitch 4, change-up", "her mother", token} {
		if strings.Contains(eval[string](phone, `document.documentElement.outerHTML`), not) {
			t.Errorf("%q is on the page", not)
		}
	}
	if wide := eval[int64](phone, "document.documentElement.scrollWidth"); wide > 360 {
		t.Errorf("the page is %d pixels wide", wide)
	}
	// Page, script and style as they came over the line, before any film.
	sent := eval[int64](phone, `[...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource").filter((r) => /[.](js|css)$/.test(r.name))].reduce((n, r) => n + r.transferSize, 0)`)
	t.Logf("first load: %d bytes of page, script and style", sent)
	if sent < 5000 || sent > 100_000 {
		t.Errorf("%d bytes are sent before any film", sent)
	}
	phone.accessible("a shared result")
	eval[bool](phone, `document.documentElement.dataset.theme = "light"; true`)

	// A point of the target plays its rep.
	eval[bool](phone, `document.querySelector('.target .shot[aria-label^="Pitch 2"]').dispatchEvent(new MouseEvent("click", { bubbles: true })), true`)
	phone.until(`document.querySelector("#rep-2 video").currentTime > 0.1 && document.querySelector("#rep-2 video").videoWidth > 0`)
	pair := `document.querySelectorAll(".shared-clip video")[1]`
	eval[bool](phone, pair+`.play().then(() => true)`)
	phone.until(pair + `.currentTime > 0.1 && ` + pair + `.videoWidth > 0`)

	phone.push("Moment by moment")
	phone.push("See it move")
	phone.until(`document.querySelector(".why-moving")?.innerText.includes("She swings at the fastball.")`)
	phone.until(`document.querySelector(".why-moving").innerText.includes("Now the change-up is there.")`)

	phone.push("Español")
	phone.until(`document.querySelector(".share h1").innerText.startsWith("Por ahora 2 de 2") && document.documentElement.lang === "es"`)
	for _, want := range []string{"Lado a lado", "Cuando hace swing a tu recta, este lanzamiento todavía está a 6 pies.", "díselo a un adulto"} {
		if !strings.Contains(shown(), want) {
			t.Errorf("%q is not on the page: %s", want, shown())
		}
	}

	var consents wire.ConsentList
	p.must(t, http.MethodGet, "/api/pitchers/"+sheet.Pitcher.ID+"/consents", nil, &consents)
	p.must(t, http.MethodPost, "/api/consents/"+consents.Consents[0].ID+"/withdraw", nil, &consents)
	if consents.LinksClosed != 1 {
		t.Errorf("%d links were closed", consents.LinksClosed)
	}
	closed := func(what, link string) string {
		t.Helper()
		next, done := phone.another()
		defer done()
		next.do(chromedp.Navigate(link))
		next.until(`document.querySelector("main.closed h1")`)
		text := eval[string](next, `document.querySelector("main").innerText`)
		if slices.ContainsFunc([]string{"Wren", "video"}, func(s string) bool { return strings.Contains(eval[string](next, `document.body.innerHTML`), s) }) {
			t.Errorf("%s: the page still tells something: %s", what, text)
		}
		return text
	}
	if a, b := closed("withdrawn", link), closed("made up", p.url+"/r#aaaaaaaaaaaaaaaaaaaaaaaaaa"); a != b {
		t.Errorf("a withdrawn link says %q, one that never was %q", a, b)
	}
}
