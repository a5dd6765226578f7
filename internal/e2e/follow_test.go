package e2e

import (
	"fmt"
	"net/http"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
)

// follow marks the four instants on the first rep of a logged bullpen, whose film
// room is open in b, and accepts those that are found in the others: by keyboard.
func follow(t *testing.T, p *program, b tab, pen string, truth demo.Truth) {
	t.Helper()
	chosen := func(rep int) {
		b.until(fmt.Sprintf(`document.querySelector(".rep-board h2")?.innerText === "Rep %d"`, rep))
	}
	b.press(kb.ArrowUp)
	for rep := eval[string](b, `document.querySelector(".rep-board h2").innerText`); rep != "Rep 1"; rep = eval[string](b, `document.querySelector(".rep-board h2").innerText`) {
		b.press(kb.ArrowUp)
	}
	first := truth.Reps[0]
	b.until(fmt.Sprintf("%s === %d", shownFrame, first.Release.Frame))
	marked := func(n int) { b.until(fmt.Sprintf(`document.querySelectorAll(".place.marked").length === %d`, n)) }
	marked(1)
	for i, at := range []demo.Instant{first.Top, first.Plant, first.Drive} {
		for frame := eval[int](b, shownFrame); frame != at.Frame; frame = eval[int](b, shownFrame) {
			key := kb.ArrowLeft
			if frame < at.Frame {
				key = kb.ArrowRight
			}
			b.press(key)
			b.until(fmt.Sprintf("%s !== %d", shownFrame, frame))
		}
		b.press(fmt.Sprint(3 - i))
		marked(2 + i)
	}

	// The search begins by itself; its first rep is looked at, then accepted.
	b.until(`document.querySelector(".body-bar")?.innerText.includes("Accept all")`)
	b.press(kb.ArrowDown)
	chosen(2)
	b.until(`document.querySelectorAll(".place.found").length > 0`)
	frame := eval[int](b, shownFrame)
	b.press("j")
	b.until(fmt.Sprintf(`%s !== %d && document.querySelector(".frame-strip .here .found, .frame-strip .here .unsure")`, shownFrame, frame))
	var sheet wire.Sheet
	b.press("a")
	p.until(t, "/api/bullpens/"+pen, &sheet, func() bool { return sheet.Reps[1].Drive != nil })
	one := sheet.Body.Found
	b.press("A")
	p.until(t, "/api/bullpens/"+pen, &sheet, func() bool { return sheet.Body.Found < one })
	rest := sheet.Body.Found
	accepted, off := 0, 0
	for i, r := range truth.Reps {
		got := sheet.Reps[i]
		for _, x := range []struct {
			name string
			have *int
			want demo.Instant
		}{{"drive", got.Drive, r.Drive}, {"plant", got.Plant, r.Plant}, {"top", got.Top, r.Top}} {
			if x.have == nil {
				continue
			}
			accepted++
			if d := *x.have - x.want.Frame; d > 2 || d < -2 {
				off++
				t.Errorf("rep %d: %s was accepted at frame %d, it is at %d", i+1, x.name, *x.have, x.want.Frame)
			}
		}
	}
	t.Logf("%d instants marked or accepted on %d reps, %d of them more than two frames off; %d checks, the first says %q",
		accepted, len(truth.Reps), off, len(sheet.Body.Checks), sheet.Body.Checks[0].Sentence)
	if 3*len(truth.Reps)/2 > accepted {
		t.Errorf("only %d instants were found on %d reps", accepted, len(truth.Reps))
	}
	// One undo takes all of the film back, one redo makes it again.
	b.press("u")
	p.until(t, "/api/bullpens/"+pen, &sheet, func() bool { return sheet.Body.Found == one })
	b.press("U")
	p.until(t, "/api/bullpens/"+pen, &sheet, func() bool { return sheet.Body.Found == rest })
	b.until(`document.querySelector(".saving-state.saved")`)
	beside(t, p, b, sheet)
	again(t, p, b, pen)
}

// beside opens a change-up side by side with its fastball: what is said of the times
// is the server's, and pictures and tempo change by key.
func beside(t *testing.T, p *program, b tab, sheet wire.Sheet) {
	t.Helper()
	off := sheet.Reps[slices.IndexFunc(sheet.Reps, func(r wire.Rep) bool { return r.Pitch == bullpen.ChangeUp })]
	var look wire.Pair
	p.must(t, http.MethodGet, "/api/pairs?off="+off.ID, nil, &look)
	if look.Sentence == "" || look.Stretch == nil {
		t.Fatalf("nothing is known of the times: %+v", look.Phases)
	}
	b.do(chromedp.Navigate(p.url + "/side-by-side/" + off.ID))
	b.until(fmt.Sprintf(`document.querySelector(".two-times .says")?.textContent.replaceAll("\u00a0", " ") === %q`, look.Sentence+"."))
	b.until(fmt.Sprintf(`Number(document.querySelector(".side").dataset.frame) === %d`, *look.Off.Rep.Release))
	b.press("o")
	b.until(`document.querySelector(".side-stage.overlaid canvas")`)
	b.press("o")
	b.until(`document.querySelector(".side-stage canvas")?.ariaLabel.includes("only what differs")`)
	b.press("o", "t")
	b.until(`!document.querySelector(".side-stage canvas") && document.querySelector(".side-controls [aria-pressed=true]")`)
	b.press(kb.ArrowLeft)
	b.until(fmt.Sprintf(`Number(document.querySelector(".side").dataset.frame) < %d || Number(document.querySelectorAll(".side")[1].dataset.frame) < %d`, *look.Off.Rep.Release, *look.Fast.Rep.Release))
}

// again marks five reps once more, by keyboard, and forgets what came of it.
func again(t *testing.T, p *program, b tab, pen string) {
	t.Helper()
	b.do(chromedp.Navigate(p.url + "/bullpens/" + pen + "/again"))
	for i := range 5 {
		b.until(fmt.Sprintf(`document.querySelector(".exercise")?.getAttribute("aria-label") === "Rep %d of 5" && document.querySelector(".exercise video[data-ready=true]")`, i+1))
		b.press(kb.ArrowRight, "1", "2", "3", "4")
		b.until(`![...document.querySelectorAll(".exercise [aria-pressed]")].some((e) => e.getAttribute("aria-pressed") === "false")`)
		b.press(kb.Enter)
	}
	b.until(`document.querySelector(".says")`)
	var eye wire.Eye
	p.must(t, http.MethodGet, "/api/eye", nil, &eye)
	if said, want := eval[string](b, `document.querySelector(".says").innerText.replaceAll("\u00a0", " ")`), fmt.Sprintf("Your marks repeat within %.0f ms.", eye.Millis); !eye.Known || said != want {
		t.Errorf("it says %q, want %q (%+v)", said, want, eye)
	}
	p.must(t, http.MethodDelete, "/api/eye", nil, &eye)
}
