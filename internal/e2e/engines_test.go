package e2e

import (
	"encoding/base64"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
)

// The page in every engine that its users have. Starting one takes seconds, so that all
// is tried in one of each.
func TestEveryEngine(t *testing.T) {
	film := numbered(t, 320, 180, demo.Uneven(30, 1))
	for _, e := range engines {
		t.Run(e.name, func(t *testing.T) {
			w := e.open(t)
			for _, c := range []struct {
				name string
				lack string // what an engine needs for it and may lack
				test func(*testing.T, *window)
			}{
				{"every step shows its frame", "", func(t *testing.T, w *window) { everyStepShowsItsFrame(t, w, film) }},
				{"one picture over the other", "", func(t *testing.T, w *window) { onePictureOverTheOther(t, w, film) }},
				{"the report is one page", paper, theReportIsOnePage},
				{"a film is sent over a bad line", "", func(t *testing.T, w *window) { aFilmIsSentOverABadLine(t, w, film) }},
				{"twelve tabs and twenty reloads", "", twelveTabsAndTwentyReloads},
			} {
				if c.lack != "" && slices.Contains(e.lacks, c.lack) {
					t.Logf("not %q: %s %s", c.name, e.name, c.lack)
					continue
				}
				t.Run(c.name, func(t *testing.T) {
					began := time.Now()
					c.test(t, w.in(t))
					t.Log(time.Since(began).Round(100 * time.Millisecond))
				})
			}
		})
	}
}

// numbered draws a film whose frames carry their number in the picture.
func numbered(t *testing.T, width, height int, pace demo.FrameTiming) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "numbered.mp4")
	_, err := demo.Write(t.Context(), demo.Options{
		Seed: 9, Width: width, Height: height, Pace: pace, Lead: 0.8, Tail: 0.7, FrameNumber: true, PlainStage: true,
		Reps: demo.Series(1, 0, demo.Same, 1), Sound: demo.Sound{Off: true},
	}, path)
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// Eighteen steps on and six back: the number beside the picture is that in it, from the
// moment it is said.
func everyStepShowsItsFrame(t *testing.T, w *window, path string) {
	p := serve(t, t.TempDir())
	pen, _ := p.begin(t, path)
	w.visit(p.url + "/bullpens/" + pen.ID + "/film")
	w.until(shownFrame + ` === 0 && document.querySelector(".screen-of-film video")?.readyState >= 2`)
	valueOf[bool](w, `(() => {
		window.said = []; window.asked = 0; window.slowest = 0;
		addEventListener("keydown", () => { window.asked = performance.now(); }, true);
		new MutationObserver(() => { window.said.push(`+shownFrame+`); window.slowest = Math.max(window.slowest, performance.now() - window.asked); })
			.observe(document.querySelector("[data-frame]"), { attributes: true });
		return true;
	})()`)
	wrong, frame := 0, 0
	for i := range 24 {
		key, step := arrowRight, 1
		if i >= 18 {
			key, step = arrowLeft, -1
		}
		frame += step
		w.press(key)
		w.until(fmt.Sprintf("%s === %d", shownFrame, frame))
		said := valueOf[[]int](w, "said.splice(0)")
		if n := w.filmNumber(320, 180); n != frame || len(said) != 1 {
			wrong++
			t.Errorf("step to %d: the page said %v, the pixels say %d", frame, said, n)
		}
	}
	t.Logf("%d of 24 wrong, the slowest took %.0f ms", wrong, valueOf[float64](w, "slowest"))
	// Left and kept for "back", the page holds no film; come back to, it shows the frame again.
	const source = `document.querySelector(".screen-of-film video").getAttribute("src")`
	if !valueOf[bool](w, `(dispatchEvent(new PageTransitionEvent("pagehide", { persisted: true })), `+source+` === null)`) {
		t.Error("a page that is left keeps its film open")
	}
	valueOf[bool](w, `dispatchEvent(new PageTransitionEvent("pageshow", { persisted: true }))`)
	w.until(source + ` !== null`)
	for began := time.Now(); w.filmNumber(320, 180) != frame; time.Sleep(50 * time.Millisecond) {
		if time.Since(began) > patience {
			t.Fatalf("come back to, the page shows %d", w.filmNumber(320, 180))
		}
	}
	theDialogLeavesThePicture(t, w)
}

// Closing a window over the film room leaves the picture where it was.
func theDialogLeavesThePicture(t *testing.T, w *window) {
	const top = `document.querySelector(".screen-of-film").getBoundingClientRect().top`
	before := valueOf[float64](w, top)
	w.press("r")
	w.until(`document.querySelector("dialog[open] textarea")`)
	w.press(escape)
	w.until(`!document.querySelector("dialog")`)
	time.Sleep(200 * time.Millisecond)
	if after := valueOf[float64](w, top); after != before {
		t.Errorf("the picture stood at %.0f and stands at %.0f", before, after)
	}
	w.press(arrowLeft)
	w.until(shownFrame + ` >= 0`)
}

// Laid over each other, two films are mixed pixel by pixel as is said.
func onePictureOverTheOther(t *testing.T, w *window, path string) {
	p := serve(t, t.TempDir())
	pen, film := p.begin(t, path)
	ids := map[bullpen.Pitch]string{}
	for i, pitch := range []bullpen.Pitch{bullpen.Fastball, bullpen.ChangeUp} {
		release := 12 + 15*i
		var made wire.RepChange
		p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{FilmID: film.ID, Release: &release, Pitch: pitch}, &made)
		ids[pitch] = made.Rep.ID
	}
	w.visit(p.url + "/side-by-side/" + ids[bullpen.ChangeUp])
	w.until(`[...document.querySelectorAll(".side")].map((s) => s.dataset.frame).join() === "27,12"`)
	for _, how := range []struct{ name, mix string }{
		{"blended", "(a + b) / 2"},
		{"difference", "Math.min(255, 1.8 * Math.abs(a - b))"},
	} {
		w.press("o")
		w.until(`document.querySelector(".side-stage canvas")?.width > 300`)
		// The drawing that lasts counts, not one of the first moments.
		w.until(`(() => {
			const pixels = (of) => {
				const canvas = document.createElement("canvas"), g = canvas.getContext("2d");
				canvas.width = 320; canvas.height = 180;
				g.drawImage(of, 0, 0, 320, 180);
				return g.getImageData(0, 0, 320, 180).data;
			};
			const [first, second] = [...document.querySelectorAll(".side video")].map(pixels), both = pixels(document.querySelector(".side-stage canvas"));
			let most = 0;
			for (let i = 0; i < both.length; i++) {
				if (i % 4 === 3) continue;
				const a = first[i], b = second[i];
				most = Math.max(most, Math.abs(both[i] - (` + how.mix + `)));
			}
			return most <= 3; // rounded three times on the way
		})()`)
	}
}

// The report prints on one sheet, and no blank one after it.
func theReportIsOnePage(t *testing.T, w *window) {
	p := serve(t, t.TempDir())
	var pen wire.Bullpen
	p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)
	for range 6 {
		p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{}, nil)
	}
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/readings", wire.Readings{Text: "55 fb 46 ch 54 fb 44 ch 55 fb 47 ch"}, nil)
	w.visit(p.url + "/bullpens/" + pen.ID + "/report")
	w.until(`document.querySelector(".paper")`)
	for name, size := range map[string][2]float64{"Letter": {21.59, 27.94}, "A4": {21, 29.7}} {
		var text string
		w.run(printPage, map[string]any{"page": map[string]any{"width": size[0], "height": size[1]}}, &text)
		pdf, err := base64.StdEncoding.DecodeString(text)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), name+".pdf")
		if err := os.WriteFile(file, pdf, 0o600); err != nil {
			t.Fatal(err)
		}
		info, err := exec.Command("pdfinfo", file).Output()
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(strings.Join(strings.Fields(string(info)), " "), "Pages: 1 ") {
			t.Errorf("%s: not one page:\n%s", name, info)
		}
	}
}

// A student's film is paused, cut off, and chosen again after the page was loaded anew;
// it arrives as it was sent.
func aFilmIsSentOverABadLine(t *testing.T, w *window, path string) {
	film, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p := serve(t, t.TempDir())
	her := p.student(t, "Wren")
	line := gateTo(t, p)
	quarter := int64(len(film)) / 4
	line.dieAfter(quarter)
	w.visit(line.url + "/s#" + her.token)
	w.until(`document.querySelector(".thumb input")`)
	w.write(".thumb input", path)
	push := func(says string) {
		t.Helper()
		button := fmt.Sprintf(`[...document.querySelectorAll(".films button")].find((b) => b.innerText === %q)`, says)
		w.until(button)
		valueOf[bool](w, button+`.click() === undefined`)
	}
	here := func(more int64) {
		t.Helper()
		for began := time.Now(); ; time.Sleep(100 * time.Millisecond) {
			if a := her.page(t).Arriving; len(a) == 1 && a[0].Received > more {
				return
			}
			if time.Since(began) > patience {
				t.Fatalf("%d bytes never came: %+v", more, her.page(t).Arriving)
			}
		}
	}
	here(0)
	push("Pause")
	w.until(`document.querySelector("[data-state=paused]")`)
	push("Go on")
	w.until(`document.querySelector("[data-state=sending]")`)
	here(quarter)
	line.cut()
	w.until(`document.querySelector("[data-state=interrupted]")`)
	line.mend()
	w.run(refresh, map[string]any{}, nil)
	w.until(`document.querySelector(".films")?.innerText.includes("Choose the same film again")`)
	line.dieAfter(0)
	w.write(".thumb input", path)
	w.until(`document.querySelector(".films")?.innerText.includes("It has arrived, whole.")`)
	if films := her.page(t).Films; len(films) != 1 || films[0].Sha256 != sumOf(film) {
		t.Errorf("what arrived: %+v", films)
	}
}

// Twelve tabs, and one of them loaded again twenty times, share one connection to the
// server's events: a browser grants an address six, after which everything hangs.
func twelveTabsAndTwentyReloads(t *testing.T, w *window) {
	p := serve(t, t.TempDir())
	var pen wire.Bullpen
	p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)
	address := p.url + "/bullpens/" + pen.ID
	answered := func() {
		t.Helper()
		w.until(`document.querySelector("h1")`)
		if !valueOf[bool](w, `fetch("/api/session", { signal: AbortSignal.timeout(20000) }).then((r) => r.ok)`) {
			t.Fatal("the server is not reached any more")
		}
	}
	began := time.Now()
	w.visit(address)
	for range 11 {
		w.another()
		w.visit(address)
		answered()
	}
	tabs := time.Since(began)
	for range 20 {
		w.run(refresh, map[string]any{}, nil)
		answered()
	}
	t.Logf("12 tabs in %v, 20 reloads in %v", tabs.Round(time.Millisecond), (time.Since(began) - tabs).Round(time.Millisecond))
	if valueOf[bool](w, `document.querySelector("tbody tr") !== null`) {
		t.Fatal("there is a rep already")
	}
	// The page hears what happens elsewhere.
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{}, nil)
	w.until(`document.querySelector("tbody tr")`)
}
