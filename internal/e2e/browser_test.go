package e2e

import (
	"context"
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

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
)

// tab is one tab of a real browser.
type tab struct {
	t       *testing.T
	ctx     context.Context
	fingers bool // a phone's: it is tapped, not clicked
}

// open starts Chromium at a window size.
func open(t *testing.T, width, height int64) tab {
	t.Helper()
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.ExecPath(chromium(t)), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("autoplay-policy", "no-user-gesture-required"),
	)
	ctx, cancel := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	b := tab{t, ctx, false}
	b.start()
	b.do(chromedp.EmulateViewport(width, height))
	return b
}

func chromium(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Fatal("there is no Chromium; `go run ./cmd/dev setup` installs it")
	return ""
}

// patience is how long a page may take for anything a test asks of it.
const patience = time.Minute

// start opens the tab. Its browser lives as long as the context it was begun with,
// which therefore has no deadline.
func (b tab) start() {
	b.t.Helper()
	if err := chromedp.Do(b.ctx); err != nil {
		b.t.Fatal(err)
	}
}

func (b tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

// eval runs an expression in the page; a promise is waited for.
func eval[T any](b tab, expression string) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits until an expression holds, and says what the page shows if it never
// does.
func (b tab) until(expression string) {
	b.t.Helper()
	deadline := time.Now().Add(patience)
	for time.Now().Before(deadline) {
		if eval[bool](b, "Boolean("+expression+")") {
			return
		}
		time.Sleep(15 * time.Millisecond)
	}
	b.t.Fatalf("never came: %s\nthe page says: %s", expression, eval[string](b, "document.body.innerText.slice(0, 1500)"))
}

// press presses keys on whatever has the focus.
func (b tab) press(keys ...string) {
	b.t.Helper()
	for _, k := range keys {
		b.do(chromedp.KeyEvent(k))
	}
}

const shownFrame = `Number(document.querySelector("[data-frame]")?.dataset.frame ?? -1)`

// filmNumber reads the number that is burnt into the picture on the screen.
func (b tab) filmNumber(width, height int) int {
	b.t.Helper()
	return numberIn(b.t, eval[string](b, picturePixels(width, height)), width, height)
}

// picturePixels is an expression for the film room's picture as grays in base64; nothing
// while the browser hands no picture out.
func picturePixels(width, height int) string {
	return fmt.Sprintf(`(() => {
		const canvas = new OffscreenCanvas(%[1]d, %[2]d), g = canvas.getContext("2d");
		g.drawImage(document.querySelector(".screen-of-film video"), 0, 0, %[1]d, %[2]d);
		const d = g.getImageData(0, 0, %[1]d, %[2]d).data, gray = new Uint8Array(%[1]d * %[2]d);
		if (d[3] === 0) return "";
		for (let i = 0; i < gray.length; i++) gray[i] = d[4 * i + 1];
		let text = ""; for (const v of gray) text += String.fromCharCode(v);
		return btoa(text);
	})()`, width, height)
}

// numberIn reads the number that is burnt into a picture of picturePixels, -1 if there
// is none.
func numberIn(t *testing.T, pixels string, width, height int) int {
	t.Helper()
	gray, err := base64.StdEncoding.DecodeString(pixels)
	if err != nil {
		t.Fatal(err)
	}
	if len(gray) == 0 {
		return -1
	}
	n, ok := demo.ReadNumber(gray, width, height)
	if !ok {
		return -1
	}
	return n
}

// The picture on the screen is the frame asked for: every frame of a film of
// constant and of one of variable rate, read out of the pixels, on and back.
func TestEveryFrameIsTheOneAskedFor(t *testing.T) {
	const width, height = 320, 180
	data := t.TempDir()
	p := serve(t, data)
	for name, pace := range map[string]demo.FrameTiming{"constant rate": demo.FPS(60, 1), "variable rate": demo.Uneven(30, 1)} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), strings.ReplaceAll(name, " ", "-")+".mp4")
			truth, err := demo.Write(t.Context(), demo.Options{
				Seed: 9, Width: width, Height: height, Pace: pace, Lead: 0.8, Tail: 0.7, FrameNumber: true, PlainStage: true,
				Reps: demo.Series(1, 0, demo.Same, 1), Sound: demo.Sound{Off: true},
			}, path)
			if err != nil {
				t.Fatal(err)
			}
			pen, film := p.begin(t, path)
			frames := truth.Clock.Frames()
			if film.Frames != frames {
				t.Fatalf("%d frames read, %d drawn", film.Frames, frames)
			}
			b := open(t, 1200, 900)
			b.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID + "/film"))
			b.until(shownFrame + ` === 0 && document.querySelector(".screen-of-film video")?.readyState >= 2`)
			b.timeKeys()
			wrong := 0
			look := func(frame int) {
				b.until(fmt.Sprintf("%s === %d", shownFrame, frame))
				if n := b.filmNumber(width, height); n != frame {
					wrong++
					t.Errorf("frame %d is said to be on show, the pixels say %d", frame, n)
				}
			}
			look(0)
			for i := 1; i < frames; i++ {
				b.press(kb.ArrowRight) // arrow right
				look(i)
			}
			for i := frames - 2; i >= max(frames-12, 0); i-- {
				b.press(kb.ArrowLeft) // arrow left
				look(i)
			}
			t.Logf("%d frames, %d wrong; key to painted frame: %s ms", frames, wrong, b.waited())
		})
	}
}

// A whole bullpen logged with the keyboard alone, from the film to the ledger.
func TestFilmRoomByKeyboard(t *testing.T) {
	pitcher, _, options := demo.Bullpen()
	options.Width, options.Height, options.Pace = 320, 180, demo.FPS(30, 1)
	path := filepath.Join(t.TempDir(), "bullpen.mp4")
	truth, err := demo.Write(t.Context(), options, path)
	if err != nil {
		t.Fatal(err)
	}
	p := serve(t, t.TempDir())
	pen, film := p.begin(t, path)
	var sheet wire.Sheet
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return looked(sheet) && len(sheet.Proposals) >= len(truth.Reps) })

	b := open(t, 1200, 900)
	b.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID + "/film"))
	b.until(shownFrame + ` === 0 && document.querySelector(".screen-of-film video")?.readyState >= 2`)
	logging, stepping := 0, 0
	press := func(count *int, keys ...string) {
		*count += len(keys)
		b.press(keys...)
	}
	frame := func() int { return eval[int](b, shownFrame) }
	stepTo := func(want int) {
		for frame() != want {
			have := frame()
			key := kb.ArrowRight
			if have > want {
				key = kb.ArrowLeft
			}
			press(&stepping, key)
			b.until(fmt.Sprintf("%s !== %d", shownFrame, have))
		}
	}
	for i, r := range truth.Reps {
		if i == 0 {
			press(&stepping, "n")
			b.until(shownFrame + " > 0")
		}
		b.until(`document.querySelector("[data-frame]") && ` + fmt.Sprintf("Math.abs(%s - %d) < 60", shownFrame, r.Release.Frame))
		stepTo(r.Release.Frame)
		reading := fmt.Sprintf("%.0f", r.Reading.Value)
		key := "f"
		if r.Pitch == bullpen.ChangeUp {
			key = "c"
		}
		press(&logging, "m")
		b.until(`document.activeElement?.tagName === "INPUT"`)
		press(&logging, append(strings.Split(reading, ""), key, kb.Enter)...)
		b.until(fmt.Sprintf(`document.querySelectorAll(".ledger tbody tr").length === %d && document.activeElement?.tagName !== "INPUT"`, i+1))
		if i+1 < len(truth.Reps) {
			b.until(fmt.Sprintf("%s > %d", shownFrame, r.Release.Frame+10))
		}
	}
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool {
		return len(sheet.Reps) == len(truth.Reps) && !slices.ContainsFunc(sheet.Reps, func(r wire.Rep) bool { return r.Reading == nil })
	})
	for i, r := range truth.Reps {
		got := sheet.Reps[i]
		if got.Release == nil || *got.Release != r.Release.Frame || got.Pitch != r.Pitch || got.Reading.Value != r.Reading.Value {
			t.Errorf("rep %d is logged as %+v, thrown as %v %v at frame %d", i+1, got, r.Pitch, r.Reading.Value, r.Release.Frame)
		}
	}
	t.Logf("%s's bullpen of %d reps on %q: %d keys to log, %.1f a rep, and %d to find the frames",
		pitcher.Label, len(truth.Reps), film.Name, logging, float64(logging)/float64(len(truth.Reps)), stepping)
	if logging > 5*len(truth.Reps) {
		t.Errorf("%d keys for %d reps: more than five a rep", logging, len(truth.Reps))
	}

	// The last rep is deleted, undone and redone, by keyboard too.
	b.press(kb.ArrowLeft) // leave nothing focused but the picture
	b.press(kb.Delete)
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return len(sheet.Reps) == len(truth.Reps)-1 })
	b.press("u")
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return len(sheet.Reps) == len(truth.Reps) })

	follow(t, p, b, pen.ID, truth)
	screens(t, p, sheet)
}

// accessible has axe-core look at the page, in light and dark: it finds no violation.
func (b tab) accessible(what string) {
	b.t.Helper()
	axe, err := os.ReadFile("../../web/node_modules/axe-core/axe.min.js")
	if err != nil {
		b.t.Fatalf("axe-core is missing (%v); `go run ./cmd/dev test` installs it", err)
	}
	eval[bool](b, string(axe)+"; true")
	// In the dark only colours are others.
	for theme, rules := range map[string]string{"light": "{}", "dark": `{runOnly: ["color-contrast"]}`} {
		eval[bool](b, `document.documentElement.dataset.theme = "`+theme+`"; true`)
		found := eval[[]string](b, `axe.run(document, `+rules+`).then(({ violations }) => violations.map((v) => v.id + ": " + v.help + " " + v.nodes.slice(0, 3).map((n) => n.target.join(" ")).join(" | ")))`)
		for _, v := range found {
			b.t.Errorf("%s, %s: %s", what, theme, v)
		}
	}
}

// phoneHeight is how far a phone's page may go down, in pixels of CSS.
const phoneHeight = 3000

// mainButtons names the main buttons that are in sight: what a screen says comes next.
const mainButtons = `[...document.querySelectorAll("main .button.primary")].filter((e) => e.checkVisibility()).map((e) => e.innerText)`

// screens opens every screen at three widths, in light and dark: none is wider than its
// window or, on a phone, too far to scroll; none has two main buttons, and axe-core finds
// no violation.
func screens(t *testing.T, p *program, sheet wire.Sheet) {
	var off string
	for _, r := range sheet.Reps {
		if r.Pitch == bullpen.ChangeUp {
			off = r.ID
			break
		}
	}
	paths := map[string]string{
		"home": "/", "film room": "/bullpens/" + sheet.Bullpen.ID + "/film", "bullpen": "/bullpens/" + sheet.Bullpen.ID,
		"report": "/bullpens/" + sheet.Bullpen.ID + "/report", "pitcher": "/pitchers/" + sheet.Pitcher.ID,
		"side by side": "/side-by-side/" + off, "mark again": "/bullpens/" + sheet.Bullpen.ID + "/again", "reps": "/reps", "levels": "/levels", "workouts": "/workouts", "settings": "/accounts", "nowhere": "/no/such/place",
	}
	for _, width := range []int64{1440, 1024, 360} {
		b := open(t, width, 800)
		for name, path := range paths {
			b.do(chromedp.Navigate(p.url + path))
			b.until(`document.querySelector("h1") && ![...document.querySelectorAll("main p.quiet")].some((p) => p.innerText.trim().endsWith("…"))`)
			time.Sleep(300 * time.Millisecond)
			if wide := eval[int64](b, "document.documentElement.scrollWidth"); wide > width {
				t.Errorf("%s at %d: the page is %d pixels wide", name, width, wide)
			}
			list := name == "workouts" // of things to take, none of which comes first
			if tall := eval[int64](b, "document.documentElement.scrollHeight"); width < 400 && tall > phoneHeight && !list {
				t.Errorf("%s at %d: the page is %d pixels high", name, width, tall)
			}
			if main := eval[[]string](b, mainButtons); len(main) > 1 && !list {
				t.Errorf("%s at %d: %d main buttons: %q", name, width, len(main), main)
			}
			b.accessible(fmt.Sprintf("%s at %d", name, width))
		}
	}
}

// The report is one page for six, sixteen and sixty reps, with up to three pitches
// to speak of.
func TestReportFitsOnePage(t *testing.T) {
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Fatal("pdftoppm is missing; `go run ./cmd/dev setup` installs it")
	}
	p := serve(t, t.TempDir())
	b := open(t, 1200, 900)
	for _, c := range []struct {
		name string
		reps int
		text string // a run of readings that repeats
	}{
		{"six", 6, "55 fb 46 ch 54 fb 44 ch "},
		{"sixteen", 16, "55 fb 46 ch 54 fb 41 ch 56 fb 47 ch "},
		{"sixty", 60, "55 fb 46 ch 54 fb 41 ch 56 fb 47 ch 55 fb 50 os 53 dr "},
		{"three off-speed", 60, "55 fb 46 ch 54 fb 41 ch 56 fb 47 ch 55 fb 50 os 53 dr 49 cu "},
		{"no fastball", 8, "46 ch 44 ch "},
		{"no off-speed", 8, "55 fb 54 fb "},
		{"all one verdict", 12, "55 fb 52 ch "},
		{"mixed units", 16, "55 fb 74km/h ch 87km/h fb 46 ch "},
	} {
		t.Run(c.name, func(t *testing.T) {
			var pen wire.Bullpen
			p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{
				PitcherLabel: strings.Repeat("Wrenna-Maribel ", 3), Title: strings.Repeat("long title ", 8), Note: strings.Repeat("Keep the drive leg going. ", 10),
			}, &pen)
			for range c.reps {
				p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{}, nil)
			}
			p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/readings", wire.Readings{Text: readings(c.text, c.reps)}, nil)
			b.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID + "/report"))
			b.until(`document.querySelector(".paper")`)
			for paper, size := range map[string]chromedp.PaperSize{"Letter": chromedp.PaperLetter, "A4": chromedp.PaperA4} {
				pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(size)))
				if err != nil {
					t.Fatal(err)
				}
				file := filepath.Join(t.TempDir(), paper+".pdf")
				if err := os.WriteFile(file, pdf, 0o600); err != nil {
					t.Fatal(err)
				}
				info, err := exec.Command("pdfinfo", file).Output()
				if err != nil {
					t.Fatal(err)
				}
				if !strings.Contains(strings.Join(strings.Fields(string(info)), " "), "Pages: 1 ") {
					t.Errorf("%s: not one page:\n%s", paper, info)
				}
				text, err := exec.Command("pdftotext", "-layout", file, "-").Output()
				if err != nil {
					t.Fatal(err)
				}
				for _, want := range []string{"Wrenna-Maribel", "Stop for pain", "Keep the drive leg going."} {
					if !strings.Contains(string(text), want) {
						t.Errorf("%s: %q is not on it", paper, want)
					}
				}
			}
		})
	}
}

// readings repeats a run of readings until it has n of them.
func readings(text string, n int) string {
	words := strings.Fields(text)
	var out []string
	for i := range n {
		k := 2 * i % len(words)
		out = append(out, words[k], words[k+1])
	}
	return strings.Join(out, " ")
}

// timeKeys has the page keep in waits how long it takes from each key to its painted frame,
// milliseconds.
func (b tab) timeKeys() {
	b.t.Helper()
	eval[bool](b, `(() => {
		window.waits = []; let asked = 0;
		addEventListener("keydown", () => { asked = performance.now(); }, true);
		`+watching(`waits.push(performance.now() - asked)`)+`
		return true;
	})()`)
}

// watching is a statement that has the page do what is said whenever the frame named below the
// picture changes, and no longer what it was told before: two would write into one waits.
func watching(do string) string {
	return `window.watching?.disconnect();
		window.watching = new MutationObserver(() => { ` + do + ` });
		watching.observe(document.querySelector("[data-frame]"), { attributes: true });`
}

// waited says what lies in waits.
func (b tab) waited() string {
	b.t.Helper()
	return eval[string](b, `(() => {
		const w = [...waits].sort((a, b) => a - b), q = (p) => w[Math.floor(p * (w.length - 1))].toFixed(0);
		return "p50 " + q(0.5) + ", p95 " + q(0.95);
	})()`)
}
