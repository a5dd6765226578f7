package e2e

import (
	"fmt"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
)

// A lesson at the fence, without the laptop: sixteen readings are typed on a phone whose
// line is cut, its page is loaded again, and the line comes back. The film, which comes
// last, has two throws that nobody typed in for; one reading was typed before it began.
// The others find their reps, a yes makes them theirs, and undo brings back what was.
func TestReadingsFromTheField(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lesson.mp4")
	truth, err := demo.Write(t.Context(), demo.Options{
		Seed: 41, Width: 320, Height: 180, Pace: demo.FPS(30, 1), Rest: 15, Reps: demo.Series(9, 8, demo.Same, 1), PlainStage: true, Tags: true,
	}, path)
	if err != nil {
		t.Fatal(err)
	}
	filmed := time.Date(2026, 4, 11, 17, 12, 13, 0, time.UTC) // as the film's tags say
	p := serve(t, t.TempDir())
	line := gateTo(t, p)
	var pen wire.Bullpen
	p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)

	desk := open(t, 1280, 900)
	desk.do(chromedp.Navigate(line.url + "/bullpens/" + pen.ID))
	desk.push("Readings by phone")
	desk.until(`document.querySelector("[data-link]")?.value`)
	link := eval[string](desk, `document.querySelector("[data-link]").value`)
	noViolation(t, desk, "the link")
	picture(t, desk, "link")

	phone := open(t, 360, 740)
	phone.phone()
	phone.do(chromedp.Navigate(link))
	phone.until(`document.body.innerText.includes("This page opens here without the laptop too.")`)
	firstLoad(t, phone)
	line.cut()
	entries := typedAtTheFence(truth, filmed, 5, 11)
	taps := typeAtTheFence(phone, entries[:9])
	phone.do(chromedp.Reload())
	phone.until(`document.querySelector(".fence .sent")?.innerText.includes("9 on this phone only")`)
	taps += typeAtTheFence(phone, entries[9:])
	t.Logf("%d readings with pitch and call: %d taps", len(entries), taps)
	if most := 4 * len(entries); taps > most {
		t.Errorf("%d taps for %d readings, at most %d are wanted", taps, len(entries), most)
	}
	noViolation(t, phone, "the field page")
	if ratio := eval[float64](phone, contrastOf(".readout output", ".readout")); ratio < 7 {
		t.Errorf("the digits have a contrast of %.1f, 7 is wanted in the sun", ratio)
	}
	if wide := eval[int64](phone, "document.documentElement.scrollWidth"); wide > 360 {
		t.Errorf("the field page is %d pixels wide", wide)
	}
	eval[bool](phone, `scrollTo(0, 0), true`)
	picture(t, phone, "field")
	line.mend()
	phone.until(`document.querySelector(".fence .sent")?.innerText.includes("All sent")`)
	desk.until(`document.querySelector(".from-field")?.innerText.includes("16 readings from the field, and no film: each can become a rep of its own.")`)

	p.send(t, pen.ID, path)
	var look wire.FieldStanding
	p.until(t, "/api/bullpens/"+pen.ID+"/field", &look, func() bool {
		return look.Filmed && look.Sure && !look.Looking && len(look.Outcomes) == 1 && len(look.Outcomes[0].Unread) == 2
	})
	const want = "15 readings from the field found their reps; two throws have no reading (throws 6 and 12 on the film); one reading has no throw."
	desk.push("Done")
	desk.until(fmt.Sprintf(`document.querySelector(".from-field")?.innerText.replaceAll("\u00a0", " ").includes(%s)`, quoted(want)))
	desk.push("Look at each")
	desk.until(`document.querySelectorAll(".each-reading tbody tr").length === 16`)
	noViolation(t, desk, "the readings beside their reps")
	picture(t, desk, "from the field")
	narrow := open(t, 360, 740)
	narrow.do(chromedp.Navigate(line.url + "/bullpens/" + pen.ID))
	narrow.push("Look at each")
	narrow.until(`document.querySelectorAll(".each-reading tbody tr").length === 16`)
	if wide := eval[int64](narrow, "document.documentElement.scrollWidth"); wide > 360 {
		t.Errorf("the readings beside their reps are %d pixels wide", wide)
	}
	picture(t, narrow, "from the field, narrow")

	desk.push("Yes, 15 reps")
	joined := func() {
		t.Helper()
		var sheet wire.Sheet
		desk.until(`document.querySelectorAll(".ledger-table tbody tr").length === 15`)
		worst := 0.0
		p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return len(sheet.Reps) == 15 })
		own := slices.DeleteFunc(slices.Clone(truth.Reps), func(r demo.RepTruth) bool {
			return r.Release.Frame == truth.Reps[5].Release.Frame || r.Release.Frame == truth.Reps[11].Release.Frame
		})
		for i, r := range sheet.Reps {
			if r.Release != nil {
				worst = max(worst, math.Abs(float64(*r.Release-own[i].Release.Frame)))
			}
			if r.Release == nil || r.Reading == nil || math.Abs(float64(*r.Release-own[i].Release.Frame)) > 15 || r.Reading.Value != math.Round(own[i].Reading.Value) ||
				r.Pitch != own[i].Pitch || r.Call != callOf(i) || r.Reading.Gun != bullpen.BehindCatcher {
				t.Errorf("rep %d: %+v %v %s; thrown as %s, read %v at frame %d", i+1, r.Reading, r.Release, r.Pitch, own[i].Pitch, own[i].Reading.Value, own[i].Release.Frame)
			}
		}
		t.Logf("releases within %.0f frames", worst)
	}
	joined()
	desk.push("Undo")
	desk.until(`document.querySelectorAll(".ledger-table tbody tr").length === 0`)
	desk.until(`document.querySelector(".from-field")?.innerText.includes("15 readings from the field found their reps")`)
	var sheet wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
	open := 0
	for _, p := range sheet.Proposals {
		if p.Sure && p.State == "open" {
			open++
		}
	}
	if len(sheet.Reps) != 0 || open != len(truth.Reps) {
		t.Errorf("undone: %d reps, %d proposals of %d", len(sheet.Reps), open, len(truth.Reps))
	}
	desk.push("Yes, 15 reps")
	joined()

	// The phone takes back what is a rep's by now: it hears that the laptop keeps it.
	phone.push("Undo")
	phone.until(`document.querySelector(".fence .alarm")?.innerText.includes("the laptop did not take that back: This reading is rep 15's already")`)
	noViolation(t, phone, "a refused take-back")
	phone.push("Leave it there")
	phone.until(`!document.querySelector(".fence .alarm") && document.querySelector(".fence .sent").innerText === "All sent" && document.querySelector(".fence summary").innerText === "All 16 of Wren today"`)
}

// Throws as even as a clock's, on a film that does not say when it was made, may be any of
// several readings': the ways are laid out, and none is taken before somebody says which.
func TestEvenThrowsAreAskedAbout(t *testing.T) {
	path := filepath.Join(t.TempDir(), "even.mp4")
	truth, err := demo.Write(t.Context(), demo.Options{
		Seed: 43, Width: 320, Height: 180, Pace: demo.FPS(30, 1), Rest: 6, Steady: true, Reps: demo.Series(3, 3, demo.Same, 1), PlainStage: true,
	}, path)
	if err != nil {
		t.Fatal(err)
	}
	p := serve(t, t.TempDir())
	pen, _ := p.begin(t, path)
	var entries []wire.FieldEntry
	for i, r := range truth.Reps[1:] {
		at := 1e6 * (1_790_000_000 + truth.Clock.FileSeconds(r.Release.Frame))
		entries = append(entries, wire.FieldEntry{
			ID: fmt.Sprintf("entry%011d", i), PitcherID: pen.PitcherID, Day: pen.Day, At: int64(at), Revision: 1, Pitch: r.Pitch, Value: math.Round(r.Reading.Value), Unit: bullpen.MPH,
		})
	}
	p.must(t, http.MethodPut, "/api/field/entries", wire.FieldEntries{Entries: entries}, nil)
	b := open(t, 1280, 900)
	b.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID))
	b.until(`document.querySelectorAll(".from-field .way").length >= 2 && [...document.querySelectorAll(".from-field button")].some((b) => b.innerText === "Yes" && b.disabled)`)
	noViolation(t, b, "the ways")
	picture(t, b, "ways")
	b.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID + "/film")) // it is asked there too
	b.until(`document.querySelector(".beside .from-field")?.innerText.includes("more than one way fits")`)
	noViolation(t, b, "the ways in the film room")
	picture(t, b, "ways in the film room")
	b.push("Say which")
	b.until(`document.querySelectorAll(".from-field .way").length >= 2`)
	right := slices.IndexFunc(eval[[]string](b, `[...document.querySelectorAll(".from-field .way")].map((w) => w.innerText)`), func(way string) bool { return strings.Contains(way, "throw 2") && !strings.Contains(way, "throw 1,") })
	if right < 0 {
		t.Fatal("the right way is not among them")
	}
	eval[bool](b, fmt.Sprintf(`document.querySelectorAll(".from-field .way input")[%d].click(), true`, right))
	b.push("Yes, 5 reps")
	var sheet wire.Sheet
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return len(sheet.Reps) == 5 })
	for i, r := range sheet.Reps {
		if want := truth.Reps[i+1]; r.Release == nil || math.Abs(float64(*r.Release-want.Release.Frame)) > 15 || r.Pitch != want.Pitch {
			t.Errorf("rep %d is %s at %v, want %s at %d", i+1, r.Pitch, r.Release, want.Pitch, want.Release.Frame)
		}
	}

	// Whoever is signed in needs no link; of several pitchers she says first who throws.
	p.must(t, http.MethodPost, "/api/pitchers", wire.NewPitcher{Label: "Jay"}, nil)
	b.do(chromedp.Navigate(p.url + "/field"))
	b.until(`document.querySelector("h1")?.innerText === "Who throws?" && !document.querySelector(".fence")`)
	noViolation(t, b, "who throws")
	picture(t, b, "who throws")
	b.push("Wren")
	b.until(`document.querySelector(".fence select")?.selectedOptions[0].text === "Wren"`)
	noViolation(t, b, "the field page with several pitchers")
}

// atTheFence is what is typed of one throw, and when.
type atTheFence struct {
	at      time.Time
	reading string
	pitch   bullpen.Pitch
	call    bullpen.Call
}

// typedAtTheFence is an entry for each throw but two, from 2 to 5 s after it, and one from
// a minute before the film.
func typedAtTheFence(truth demo.Truth, filmed time.Time, left ...int) []atTheFence {
	out := []atTheFence{{filmed.Add(-time.Minute), "51", bullpen.Fastball, ""}}
	for i, r := range truth.Reps {
		if slices.Contains(left, i) {
			continue
		}
		delay := 2 + float64(i%4)
		at := filmed.Add(time.Duration((truth.Clock.FileSeconds(r.Release.Frame) + delay) * float64(time.Second)))
		out = append(out, atTheFence{at, fmt.Sprintf("%.0f", r.Reading.Value), r.Pitch, callOf(len(out) - 1)})
	}
	return out
}

func callOf(i int) bullpen.Call {
	if i%3 == 2 {
		return bullpen.Ball
	}
	return bullpen.Strike
}

// typeAtTheFence types entries on a phone whose clock is set by the test, and counts taps.
func typeAtTheFence(phone tab, entries []atTheFence) (taps int) {
	phone.t.Helper()
	tap := func(says string) {
		phone.t.Helper()
		taps++
		phone.push(says)
	}
	for _, e := range entries {
		eval[bool](phone, fmt.Sprintf(`Date.now = () => %d; true`, e.at.UnixMilli()))
		for _, digit := range e.reading {
			tap(string(digit))
		}
		name := map[bullpen.Pitch]string{bullpen.Fastball: "Fastball", bullpen.ChangeUp: "Change\u2011up"}[e.pitch]
		if !eval[bool](phone, fmt.Sprintf(`[...document.querySelectorAll(".pitches [aria-pressed=true]")].some((b) => b.innerText === %s)`, quoted(name))) {
			tap(name)
		}
		tap(map[bullpen.Call]string{bullpen.Strike: "Strike", bullpen.Ball: "Ball", "": "No call"}[e.call])
		phone.until(fmt.Sprintf(`document.querySelector(".last").innerText.includes(%s)`, quoted(e.reading)))
	}
	return taps
}

// noViolation fails on what axe-core finds, in light and dark.
func noViolation(t *testing.T, b tab, what string) {
	t.Helper()
	axe, err := os.ReadFile("../../web/node_modules/axe-core/axe.min.js")
	if err != nil {
		t.Fatalf("axe-core is missing (%v); `go run ./cmd/dev test` installs it", err)
	}
	eval[bool](b, string(axe)+"; true")
	for _, theme := range []string{"dark", "light"} {
		eval[bool](b, `document.documentElement.dataset.theme = "`+theme+`"; true`)
		found := eval[[]string](b, `axe.run(document).then(({ violations }) => violations.map((v) => v.id + ": " + v.help + " " + v.nodes.slice(0, 3).map((n) => n.target.join(" ")).join(" | ")))`)
		for _, v := range found {
			t.Errorf("%s, %s: %s", what, theme, v)
		}
	}
}

// contrastOf is an expression for the contrast of an element's ink on another's ground
// (WCAG 2.2, relative luminance).
func contrastOf(ink, ground string) string {
	return fmt.Sprintf(`(() => {
		const light = (colour) => {
			const [r, g, b] = colour.match(/[\d.]+/g).map((v) => v / 255).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
			return 0.2126 * r + 0.7152 * g + 0.0722 * b;
		};
		const a = light(getComputedStyle(document.querySelector(%s)).color), b = light(getComputedStyle(document.querySelector(%s)).backgroundColor);
		return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
	})()`, quoted(ink), quoted(ground))
}

// picture keeps what a tab shows, in light and dark, in the folder that TENOFF_PICTURES
// names, for somebody to look at.
func picture(t *testing.T, b tab, name string) {
	t.Helper()
	dir := os.Getenv("TENOFF_PICTURES")
	if dir == "" {
		return
	}
	for _, theme := range []string{"dark", "light"} {
		eval[bool](b, `document.documentElement.dataset.theme = "`+theme+`"; true`)
		png, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, strings.NewReplacer(" ", "-", ",", "").Replace(name)+"-"+theme+".png"), png, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}
