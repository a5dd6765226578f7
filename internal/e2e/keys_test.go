package e2e

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

// The whole job without a mouse: a film is brought in, its reps are marked and read, the
// answer is looked at, clips are made, and homework is handed out. Wherever the keyboard
// stops on the way it is seen where it stands (WCAG 2.2, 2.4.7 and 2.4.11), and no stop
// keeps it (2.1.2).
func TestWholeJobByKeysAlone(t *testing.T) {
	path, truth := draw(t, 2, 2)
	p := serve(t, t.TempDir())
	b := open(t, 1280, 900)
	b.do(chromedp.Navigate(p.url))
	b.until(`document.querySelector("h1")`)
	walk := keyWalk{tab: b, told: map[string]bool{}}

	// Home. What opens behind the button is the system's own window; the film comes as from there.
	walk.round("home")
	walk.to("Begin with film")
	b.do(chromedp.SetUploadFiles(chromedp.CSS("main input[type=file]"), []string{path}))
	b.until(`document.querySelector("dialog[open]") && document.activeElement?.matches("dialog input")`)
	b.press("Wren", kb.Enter)

	// The film room: each proposal is gone to, marked and read.
	b.until(shownFrame + ` === 0 && document.querySelector(".screen-of-film video")?.readyState >= 2`)
	pen := eval[string](b, `location.pathname.split("/")[2]`)
	var sheet wire.Sheet
	p.until(t, "/api/bullpens/"+pen, &sheet, func() bool { return looked(sheet) && len(sheet.Proposals) >= len(truth.Reps) })
	b.press("n")
	for i, r := range truth.Reps {
		b.until(fmt.Sprintf("Math.abs(%s - %d) < 40", shownFrame, r.Release.Frame))
		b.press("m")
		b.until(`document.activeElement?.matches(".reading-field input")`)
		letter := "f"
		if r.Pitch == bullpen.ChangeUp {
			letter = "c"
		}
		b.press(append(strings.Split(fmt.Sprintf("%.0f", r.Reading.Value), ""), letter, kb.Enter)...)
		b.until(fmt.Sprintf(`document.querySelectorAll(".ledger tbody tr").length === %d && !document.activeElement?.matches("input")`, i+1))
		if i+1 < len(truth.Reps) {
			b.until(fmt.Sprintf("%s > %d", shownFrame, r.Release.Frame+10))
		}
	}
	p.until(t, "/api/bullpens/"+pen, &sheet, func() bool {
		return len(sheet.Reps) == len(truth.Reps) && sheet.Reps[len(sheet.Reps)-1].Judged.Gap != nil
	})
	b.until(`document.querySelector(".saving-state.saved")`)
	change := slices.IndexFunc(sheet.Reps, func(r wire.Rep) bool { return r.Pitch == bullpen.ChangeUp })

	// The answer stands on her board, the four instants of a delivery are marked, and clips made.
	walk.round("film room")
	walk.to(fmt.Sprintf("Rep %d", change+1))
	b.press(kb.Enter)
	b.until(`document.querySelector(".rep-board .outcome .gap")`)
	b.press(kb.ArrowLeft, kb.ArrowLeft, kb.ArrowLeft, "3", kb.ArrowLeft, "2")
	b.do(chromedp.KeyEvent(kb.ArrowLeft, chromedp.KeyModifiers(chromedp.ModifierShift)))
	b.press("1")
	b.until(`document.querySelectorAll(".stops .stop:not(:disabled)").length === 4`)
	walk.to("drive")
	b.press(kb.Enter)
	b.until(`document.activeElement?.matches(".stop.here")`)
	walk.to("Mark release")
	b.press("c")
	p.until(t, "/api/bullpens/"+pen, &sheet, func() bool { return len(sheet.Clips) == len(truth.Reps) && finished(t, sheet.Clips) })
	b.until(`[...document.querySelectorAll(".clip-buttons button")].some((e) => e.innerText.startsWith("Clip"))`)
	b.press("v")
	b.until(`document.querySelector("dialog[open] video")?.readyState >= 2`)
	b.press(kb.Escape)
	b.until(`!document.querySelector("dialog[open]")`)

	// Side by side and the bullpen's page.
	walk.to("Bullpen")
	b.press(kb.Enter)
	b.until(`location.pathname === "/bullpens/` + pen + `" && document.querySelector(".target .shot")`)
	walk.round("bullpen")
	b.do(chromedp.Navigate(p.url + "/side-by-side/" + sheet.Reps[change].ID))
	b.until(`document.querySelectorAll(".side video").length === 2 && document.querySelector(".one-clock")`)
	walk.round("side by side")

	// Homework goes out, with a guardian's consent.
	walk.to("Workouts")
	b.press(kb.Enter)
	b.until(`location.pathname === "/workouts" && document.querySelector("main .button.primary")`)
	walk.round("workouts")
	walk.to("Hand out")
	b.press(kb.Enter)
	b.until(`document.querySelector("dialog[open] [data-first]")`)
	walk.to("Wren")
	b.press(kb.Enter)
	b.until(`document.querySelector("dialog[open] input[type=checkbox]")`)
	walk.to("Who said yes")
	b.press("her mother")
	walk.to("Homework")
	b.press(" ")
	walk.to("Put it on record")
	b.press(kb.Enter)
	b.until(`[...document.querySelectorAll("dialog[open] button")].some((e) => e.innerText.startsWith("Make the link"))`)
	walk.to("Make the link")
	b.press(kb.Enter)
	b.until(`document.querySelector("[data-link]")?.value`)
	walk.to("Done")
	b.press(kb.Enter)
	b.until(`!document.querySelector("dialog[open]")`)
	var out wire.HomeworkList
	p.must(t, http.MethodGet, "/api/homework", nil, &out)
	if len(out.Homework) != 1 || out.Homework[0].PitcherLabel != "Wren" {
		t.Errorf("handed out: %+v", out.Homework)
	}
}

// keyWalk goes through a page by Tab and looks at every stop.
type keyWalk struct {
	tab
	told map[string]bool // faults that were told already
}

// stop is where the keyboard stands.
type stop struct {
	Name  string `json:"name"`  // as it is called; "" for the page itself
	Place string `json:"place"` // which element it is
	Fault string `json:"fault"`
}

const whereItStands = `(async () => {
	await new Promise((next) => requestAnimationFrame(() => requestAnimationFrame(next)));
	const e = document.activeElement;
	if (!e || e === document.body || e === document.documentElement) return { name: "", place: "", fault: "" };
	const name = (e.getAttribute("aria-label") ?? e.labels?.[0]?.innerText ?? e.innerText ?? e.textContent ?? "").trim().replaceAll("\u00a0", " ").slice(0, 60) || e.tagName;
	window.stops ??= new Map();
	if (!stops.has(e)) stops.set(e, stops.size + 1);
	const place = e.tagName + "." + (e.getAttribute("class") ?? "") + " " + stops.get(e);
	const style = getComputedStyle(e), r = e.getClientRects()[0] ?? e.getBoundingClientRect(); // a link may go over two lines
	const ringed = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
	const inSight = r.width > 0 && r.height > 0 && r.bottom > 0 && r.right > 0 && r.top < innerHeight && r.left < innerWidth;
	const middle = (from, to, most) => (Math.max(from, 0) + Math.min(to, most)) / 2;
	const over = inSight ? document.elementFromPoint(middle(r.left, r.right, innerWidth), middle(r.top, r.bottom, innerHeight)) : null;
	const fault = !ringed ? "wears no ring" : !inSight ? "is out of sight" : !over || e === over || e.contains(over) || over.contains(e) || e.ownerSVGElement && e.ownerSVGElement === over.ownerSVGElement || e.labels?.[0]?.contains(over) ? "" : "lies under " + over.outerHTML.slice(0, 120);
	return { name, place, fault };
})()`

// stands says where the keyboard is, and tells each fault once.
func (w keyWalk) stands() stop {
	w.t.Helper()
	s := eval[stop](w.tab, whereItStands)
	if s.Fault != "" && !w.told[s.Place] {
		w.told[s.Place] = true
		w.t.Errorf("%q (%s) %s", s.Name, s.Place, s.Fault)
	}
	return s
}

// mostStops is more stops than any page has.
const mostStops = 260

// to goes on to the next stop that is called so.
func (w keyWalk) to(says string) {
	w.t.Helper()
	var passed []string
	for range mostStops {
		w.press(kb.Tab)
		s := w.stands()
		if strings.HasPrefix(s.Name, says) {
			return
		}
		passed = append(passed, s.Name)
	}
	w.t.Fatalf("no stop is called %q; there are %q", says, passed)
}

// round goes once all the way round a page: every stop is another, and the way ends where it
// began.
func (w keyWalk) round(what string) {
	w.t.Helper()
	began := time.Now()
	first, last, stays := "", "", 0
	for n := 0; n < mostStops; {
		w.press(kb.Tab)
		s := w.stands()
		switch {
		case s.Place == "": // between the last stop and the first lies the browser itself
		case s.Place == last: // a day has a stop for each of its parts
			if stays++; stays > 5 {
				w.t.Fatalf("%s: %q keeps the keyboard", what, s.Name)
			}
		case s.Place == first:
			w.t.Logf("%s: %d stops, %s", what, n, time.Since(began).Round(time.Millisecond))
			if n < 5 {
				w.t.Errorf("%s: only %d stops", what, n)
			}
			return
		default:
			n, stays = n+1, 0
		}
		if first == "" {
			first = s.Place
		}
		last = s.Place
	}
	w.t.Fatalf("%s: after %d stops the way has no end", what, mostStops)
}
