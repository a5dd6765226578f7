package e2e

import (
	"fmt"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
)

// From proposals to a finished ledger of sixteen reps, by 64 keys at most: the
// first release put right, a key for each rep, one run of readings.
func TestSixteenRepsInSixtyFourKeys(t *testing.T) {
	path := filepath.Join(t.TempDir(), "sixteen.mp4")
	truth, err := demo.Write(t.Context(), demo.Options{
		Seed: 31, Width: 320, Height: 180, Pace: demo.FPS(30, 1), Rest: 5, Reps: demo.Series(8, 8, demo.Same, 1), PlainStage: true,
	}, path)
	if err != nil {
		t.Fatal(err)
	}
	p := serve(t, t.TempDir())
	pen, _ := p.begin(t, path)
	var sheet wire.Sheet
	sure := func(p wire.Proposal) bool { return p.Sure && p.State == "open" }
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return looked(sheet) })
	proposed := slices.DeleteFunc(slices.Clone(sheet.Proposals), func(p wire.Proposal) bool { return !sure(p) })
	if len(proposed) != len(truth.Reps) {
		t.Fatalf("%d reps are proposed, %d were thrown", len(proposed), len(truth.Reps))
	}
	if !proposed[0].Rough {
		t.Error("without a mark, the releases are not said to be rough")
	}

	b := open(t, 1200, 900)
	b.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID + "/film"))
	b.until(shownFrame + ` === 0 && document.querySelector(".screen-of-film video")?.readyState >= 2`)
	b.until(`document.querySelector(".proposal-note")?.innerText.includes("16 reps proposed")`)
	keys := 0
	press := func(names ...string) {
		keys += len(names)
		b.press(names...)
	}
	press("n")
	b.until(fmt.Sprintf("%s === %d", shownFrame, proposed[0].Release))
	for at := proposed[0].Release; at != truth.Reps[0].Release.Frame; {
		key, step := kb.ArrowRight, 1
		if at > truth.Reps[0].Release.Frame {
			key, step = kb.ArrowLeft, -1
		}
		press(key)
		at += step
		b.until(fmt.Sprintf("%s === %d", shownFrame, at))
	}
	logged := func(n int) {
		t.Helper()
		b.until(fmt.Sprintf(`document.querySelectorAll(".ledger tbody tr").length === %d`, n))
	}
	press("y")
	logged(1)
	// The others are found from that mark.
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool {
		return len(sheet.Reps) == 1 && slices.ContainsFunc(sheet.Proposals, sure) && !slices.ContainsFunc(sheet.Proposals, func(p wire.Proposal) bool { return p.Rough })
	})
	b.until(`document.querySelector(".proposal-note") && !document.querySelector(".proposal-note").innerText.includes("rough")`)
	// The picture stands on the next proposal, or is brought to where it lies now.
	for n := 2; n <= len(truth.Reps); n++ {
		press("y")
		logged(n)
	}
	b.until(`document.querySelector(".saving-state")?.innerText.includes("Saved")`)

	var run strings.Builder
	for _, r := range truth.Reps {
		fmt.Fprintf(&run, "%.0f", r.Reading.Value)
		if r.Pitch == bullpen.ChangeUp { // what has no letter stays the fastball that it is
			run.WriteString("c")
		}
	}
	press("r")
	b.until(`document.activeElement?.tagName === "TEXTAREA"`)
	press(strings.Split(run.String(), "")...)
	b.until(`document.querySelectorAll(".pairs tbody tr").length === 16`)
	keys += 2
	b.do(chromedp.KeyEvent(kb.Enter, chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool {
		return len(sheet.Reps) == len(truth.Reps) && !slices.ContainsFunc(sheet.Reps, func(r wire.Rep) bool { return r.Reading == nil })
	})
	off := 0
	for i, r := range truth.Reps {
		got := sheet.Reps[i]
		if got.Pitch != r.Pitch || got.Reading.Value != r.Reading.Value {
			t.Errorf("rep %d is %s %g, thrown as %s %g", i+1, got.Pitch, got.Reading.Value, r.Pitch, r.Reading.Value)
		}
		if d := *got.Release - r.Release.Frame; d < -1 || d > 1 {
			t.Errorf("rep %d is released %d frames late", i+1, d)
		} else if d != 0 {
			off++
		}
		if pop := r.Pop - r.Release.Seconds; got.PopAfter == nil || *got.PopAfter < pop-0.05 || *got.PopAfter > pop+0.05 {
			t.Errorf("rep %d is heard %v s after its release, it pops after %.3f", i+1, got.PopAfter, pop)
		}
		if got.FilmSpeed == nil || got.FilmSpeed.Speed == nil {
			t.Errorf("rep %d has no film speed", i+1)
		} else if got.FilmSpeed.Asks || got.FilmSpeed.Note != "" {
			t.Errorf("rep %d: %s %s", i+1, got.Judged.Doubt, got.FilmSpeed.Note)
		}
	}
	t.Logf("%d reps with reading and pitch by %d keys; %d releases one frame off", len(truth.Reps), keys, off)
	if keys > 64 {
		t.Errorf("%d keys for %d reps", keys, len(truth.Reps))
	}

	mistyped(t, p, b, sheet)
	boxed(t, p, b, sheet)
}

// mistyped swaps a reading's digits: it is asked about beside it, with what was
// meant a click away.
func mistyped(t *testing.T, p *program, b tab, sheet wire.Sheet) {
	rep := sheet.Reps[1]
	meant := rep.Reading.Value
	swapped := *rep.Reading
	swapped.Value = 10*float64(int(meant)%10) + float64(int(meant)/10)
	for swapped.Value-meant < 8 && meant-swapped.Value < 8 {
		meant++ // 44: a key slips besides
		swapped.Value = 10*float64(int(meant)%10) + float64(int(meant)/10)
	}
	p.must(t, http.MethodPatch, "/api/reps/"+rep.ID, wire.RepEdit{Version: rep.Version, Reading: wire.Set(swapped)}, nil)
	b.until(`[...document.querySelectorAll(".ledger .film-speed.doubted")].some((e) => e.title.includes("The film says about"))`)
	var asked wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+sheet.Bullpen.ID, nil, &asked)
	left := 0
	for _, s := range asked.Summaries {
		left += s.Asked
	}
	if left != 1 || asked.Reps[1].Judged.Gap != nil || asked.Reps[1].Judged.Doubt == "" {
		t.Errorf("%d readings are left out; rep 2: %+v", left, asked.Reps[1].Judged)
	}
	eval[bool](b, `(document.querySelectorAll(".ledger .order")[1].click(), true)`)
	b.until(`document.querySelector(".notice.sure")?.innerText.includes("The film says about")`)
	eval[bool](b, `([...document.querySelectorAll(".notice.sure button")].find((e) => e.innerText.startsWith("It was")).click(), true)`)
	var now wire.Sheet
	p.until(t, "/api/bullpens/"+sheet.Bullpen.ID, &now, func() bool {
		got := now.Reps[1]
		now = wire.Sheet{} // what is left out of the next answer must not stay
		return got.Reading.Value == meant && got.FilmSpeed != nil && !got.FilmSpeed.Asks
	})
}

// boxed puts the pitcher's box right by keyboard, and takes that back.
func boxed(t *testing.T, p *program, b tab, sheet wire.Sheet) {
	var film wire.Film
	p.must(t, http.MethodGet, "/api/films/"+sheet.Films[0].ID, nil, &film)
	if film.FoundBox == nil || film.Box != nil {
		t.Fatalf("found box %v, box %v", film.FoundBox, film.Box)
	}
	found := *film.FoundBox
	eval[bool](b, `(document.querySelector(".box-switch button").click(), true)`)
	b.until(`document.activeElement?.classList.contains("pitcher-box")`)
	b.press(kb.ArrowLeft, kb.ArrowLeft, kb.Enter)
	p.until(t, "/api/films/"+film.ID, &film, func() bool { return film.Box != nil })
	if d := found.X - film.Box.X; d < 0.0399 || d > 0.0401 || film.Box.Width < found.Width-1e-3 {
		t.Errorf("two steps to the left of %+v is %+v", found, *film.Box)
	}
	p.must(t, http.MethodPatch, "/api/films/"+film.ID, wire.FilmEdit{Version: film.Version, Box: wire.Clear[bullpen.Box]()}, nil)
	var again wire.Film
	p.must(t, http.MethodGet, "/api/films/"+film.ID, nil, &again)
	if again.Box != nil {
		t.Errorf("the box is still %+v", *again.Box)
	}
}
