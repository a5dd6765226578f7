package e2e

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
)

// guises is a bullpen of twelve filmed reps, one of which slowed down, with its clips, its
// link and its homework, and the paths of every screen of it.
type guises struct {
	p     *program
	pen   string
	her   string // the pitcher's id
	share string // path of the shared result
	paths [][2]string
}

func inGuises(t *testing.T) guises {
	t.Helper()
	p := serve(t, t.TempDir())
	her := p.athlete(t)
	pen, film, truth := filmOfOneSlowed(t, p, her.homework.BullpenID)
	for _, r := range truth.Reps {
		at := func(i demo.Instant) *int { return &i.Frame }
		p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{
			FilmID: film.ID, Release: at(r.Release), Drive: at(r.Drive), Plant: at(r.Plant), Top: at(r.Top), Pitch: r.Pitch, Set: 1, Number: r.Number,
		}, nil)
	}
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/readings", wire.Readings{Text: "56 fb 47 ch 54 fb 44 ch 55 fb 45 ch 56 fb 46 ch 54 fb 44 ch 55 fb 45 ch"}, nil)
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/clips", wire.NewClips{Options: wire.ClipOptions{Before: 0.8, After: 0.5}}, nil)
	var sheet wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
	p.must(t, http.MethodPost, "/api/pairs", wire.NewPair{OffRepID: sheet.Reps[9].ID, FastRepID: sheet.Reps[8].ID, Before: 0.8, After: 0.5}, nil)
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return len(sheet.Clips) == 13 && finished(t, sheet.Clips) })
	var all []string
	for _, c := range sheet.Clips {
		all = append(all, c.ID)
	}
	var made wire.MadeShare
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/shares", wire.NewShare{ClipIDs: all}, &made)
	her.answered(t)
	g := guises{p: p, pen: pen.ID, her: sheet.Pitcher.ID, share: strings.TrimPrefix(made.Link, p.url)}
	of := "/bullpens/" + pen.ID
	g.paths = [][2]string{
		{"home", "/"}, {"bullpen", of}, {"film room", of + "/film"}, {"side by side", "/side-by-side/" + sheet.Reps[9].ID}, {"report", of + "/report"},
		{"pitcher", "/pitchers/" + g.her}, {"workouts", "/workouts"}, {"homework", "/homework/" + her.homework.ID}, {"levels", "/levels"}, {"reps", "/reps"}, {"settings", "/accounts"},
		{"shared result", g.share}, {"slip", "/s#" + her.token},
	}
	return g
}

// show opens a screen and waits until all of it is there.
func (g guises) show(b tab, path string) {
	b.t.Helper()
	b.do(chromedp.Navigate("about:blank")) // only what stands behind a # may be another
	b.do(chromedp.Navigate(g.p.url + path))
	b.until(`document.querySelector("h1") && ![...document.querySelectorAll("main p")].some((p) => p.innerText.trim().endsWith("…"))`)
	time.Sleep(300 * time.Millisecond)
}

// No screen is too far to scroll on a phone; at 200 and 400 per cent of zoom (WCAG 2.2,
// 1.4.4 and 1.4.10: 640 and 320 pixels of a window of 1280) none scrolls sideways and its
// heading and what it asks for next are in sight; on paper all are light, whatever the
// screen was, and have their heading; where motion is not wanted nothing moves.
func TestScreensInEveryGuise(t *testing.T) {
	g := inGuises(t)
	b := open(t, 1280, 900)
	for _, s := range g.paths {
		name, path := s[0], s[1]
		for _, width := range []int64{1440, 1024, 360, 640, 320} {
			b.do(chromedp.EmulateViewport(width, 800))
			g.show(b, path)
			what := fmt.Sprintf("%s at %d", name, width)
			if wide := eval[int64](b, "document.documentElement.scrollWidth"); wide > width {
				t.Errorf("%s: the page is %d pixels wide", what, wide)
			}
			tall := eval[int64](b, "document.documentElement.scrollHeight")
			if width == 360 && tall > phoneHeight && name != "workouts" {
				t.Errorf("%s: the page is %d pixels high", what, tall)
			}
			if out := eval[[]string](b, fmt.Sprintf(`[...document.querySelectorAll("h1, main .button.primary")].filter((e) => e.checkVisibility()).filter((e) => { const r = e.getBoundingClientRect(); return r.left < 0 || r.right > %d + 0.5; }).map((e) => e.innerText)`, width)); len(out) > 0 {
				t.Errorf("%s: not in sight: %q", what, out)
			}
			words := eval[int](b, `(() => {
				const walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
				let n = 0;
				for (let at = walk.nextNode(); at; at = walk.nextNode()) {
					const r = document.createRange();
					r.selectNodeContents(at);
					const box = r.getBoundingClientRect();
					if (box.height > 0 && box.top < innerHeight && at.parentElement.checkVisibility() && !at.parentElement.closest(".sr-only")) n += at.data.split(/\s+/).filter((w) => /[\p{L}\d]/u.test(w)).length;
				}
				return n;
			})()`)
			t.Logf("%s: %d pixels high, %d words on the first view", what, tall, words)
			picture(t, b, fmt.Sprintf("%s %d", name, width))
		}
		b.do(chromedp.EmulateViewport(1280, 900))
		g.show(b, path)
		g.onPaper(b, name)
	}
	b.media(emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}})
	for _, s := range g.paths {
		g.show(b, s[1])
		if moving := eval[[]string](b, `[...document.querySelectorAll("*")].filter((e) => getComputedStyle(e).transitionDuration.split(",").some((d) => parseFloat(d) > 0.001) || parseFloat(getComputedStyle(e).animationDuration) > 0.001).slice(0, 5).map((e) => e.className || e.tagName)`); len(moving) > 0 {
			t.Errorf("%s: moves where motion is not wanted: %q", s[0], moving)
		}
	}
}

// onPaper prints what a dark screen shows: light, with its heading.
func (g guises) onPaper(b tab, name string) {
	t := b.t
	t.Helper()
	eval[bool](b, `document.documentElement.dataset.theme = "dark"; true`)
	heading := plainText(eval[string](b, `document.querySelector("h1").textContent`))
	b.media(emulation.SetEmulatedMediaParams{Media: "print"})
	if dark := eval[[]string](b, `(() => {
		const light = (colour) => { const [r, g, b, a = 1] = colour.match(/[\d.]+/g).map(Number); return a === 0 || (r + g + b) / 3 > 127; };
		return [document.documentElement, document.body, ...document.querySelectorAll("main, main section, main article, main .card, main p, main th")].filter((e) => e.checkVisibility())
			.filter((e) => !light(getComputedStyle(e).backgroundColor) || light(getComputedStyle(e).color) && getComputedStyle(e).backgroundColor === "rgba(0, 0, 0, 0)").slice(0, 5).map((e) => e.className || e.tagName);
	})()`); len(dark) > 0 {
		t.Errorf("%s on paper: dark ground or light ink: %q", name, dark)
	}
	b.media(emulation.SetEmulatedMediaParams{})
	pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(chromedp.PaperLetter)))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if kept := os.Getenv("TENOFF_PICTURES"); kept != "" {
		dir = kept
	}
	file := filepath.Join(dir, strings.ReplaceAll(name, " ", "-")+".pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	if said := plainText(string(text)); heading != "" && !strings.Contains(strings.Join(strings.Fields(said), ""), strings.Join(strings.Fields(heading), "")) {
		t.Errorf("%s on paper lacks its heading %q: %.300s", name, heading, said)
	}
	if info, err := exec.Command("pdfinfo", file).Output(); err != nil || name == "report" && !strings.Contains(strings.Join(strings.Fields(string(info)), " "), "Pages: 1 ") {
		t.Errorf("%s on paper is not one page: %s, %v", name, info, err)
	}
	eval[bool](b, `document.documentElement.dataset.theme = "light"; true`)
}

// media has the page take its window for paper, or for one of somebody who wants no motion.
func (b tab) media(as emulation.SetEmulatedMediaParams) {
	b.t.Helper()
	b.do(chromedp.Func(func(ctx context.Context, to *chromedp.Target) error {
		_, err := cdp.Call(ctx, to, emulation.SetEmulatedMedia, as)
		return err
	}))
}

// Every window over a page opens by keyboard, has no fault that axe finds, keeps the
// keyboard inside, closes with Escape, and gives the keyboard back to what opened it, or to
// the menu that this stands in.
func TestWindowsKeepTheKeyboard(t *testing.T) {
	g := inGuises(t)
	b := open(t, 1280, 900)
	of := "/bullpens/" + g.pen
	for _, w := range []struct{ name, path, opener string }{
		{"new bullpen", "/", "New bullpen"},
		{"share", of, "Share with her"},
		{"settings of a bullpen", of, "Settings of this bullpen"},
		{"readings by phone", of, "Readings by phone"},
		{"the workout for it", of, "Hand "},
		{"many readings", of + "/film", "Many readings"},
		{"films and gun", of + "/film", "Films and gun"},
		{"keys", of + "/film", "Keys"},
		{"the trust rule", "/pitchers/" + g.her, "Change the rule"},
		{"hand out", "/workouts", "Hand out"},
	} {
		t.Run(w.name, func(t *testing.T) {
			b := tab{t, b.ctx, false}
			g.show(b, w.path)
			opener := fmt.Sprintf(`[...document.querySelectorAll("main button")].find((e) => (e.getAttribute("aria-label") ?? e.innerText ?? e.textContent).trim().startsWith(%s) || e.textContent.trim().startsWith(%[1]s))`, quoted(w.opener))
			b.until(opener)
			eval[bool](b, fmt.Sprintf(`(() => { const e = %s; for (let d = e.closest("details"); d; d = d.parentElement.closest("details")) d.open = true; e.focus(); return document.activeElement === e; })()`, opener))
			b.press(kb.Enter)
			b.until(`document.querySelector("dialog[open]")`)
			b.until(`![...document.querySelectorAll("dialog p")].some((p) => p.innerText.trim().endsWith("…"))`)
			time.Sleep(300 * time.Millisecond)
			b.accessible("the window: " + w.name)
			picture(t, b, "window "+w.name)
			inside := `(document.activeElement === document.body || document.querySelector("dialog[open]").contains(document.activeElement))`
			for i := range 30 {
				b.press(kb.Tab)
				if !eval[bool](b, inside) {
					t.Fatalf("after %d tabs the keyboard is outside: %s", i+1, eval[string](b, `document.activeElement.outerHTML.slice(0, 200)`))
				}
			}
			// The keyboard may have gone to the browser itself, where Escape means something else.
			eval[bool](b, `document.querySelector("dialog[open] button").focus(), true`)
			b.press(kb.Escape)
			b.until(`!document.querySelector("dialog[open]")`)
			b.until(fmt.Sprintf(`document.activeElement === %s || document.activeElement === %[1]s?.closest("details")?.querySelector("summary")`, opener))
		})
	}
}
