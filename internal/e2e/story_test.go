package e2e

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/server/wire"
)

// A week of a student far away, all of it in browsers: a workout is written and
// handed out, filmed, sent over a line that is cut three times, looked at, and
// answered; her link shows the answer, and somebody else's shows nothing of it.
func TestHomeworkFromWorkoutToAnswer(t *testing.T) {
	path, truth := draw(t, 2, 2)
	film, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	data := t.TempDir()
	p := serve(t, data)
	line := gateTo(t, p)

	desk := open(t, 1280, 900)
	link := handOut(desk, line.url)
	_, token, found := strings.Cut(link, "#")
	if !found || !strings.HasPrefix(link, line.url+"/s") {
		t.Fatalf("the link is %q", link)
	}
	her := &student{p: p, token: token}
	other := p.student(t, "Jay")

	browser := open(t, 360, 740)
	p = sendOverABadLine(t, browser, line, p, her, link, path, data)
	other.p = p
	sent := her.page(t)
	if len(sent.Films) != 1 || sent.Films[0].Sha256 != sumOf(film) {
		t.Fatalf("what arrived: %+v", sent.Films)
	}

	// It is in the inbox, and opens in the film room, numbered along the workout.
	desk.do(chromedp.Navigate(line.url))
	desk.until(`document.querySelector(".homework-card.needs-you")?.innerText.includes("Wren: Same body")`)
	desk.push("Wren: Same body")
	desk.push("Review in the film room")
	desk.until(shownFrame + ` === 0 && document.querySelector(".screen-of-film video")?.readyState >= 2`)
	pen := bullpenOf(t, p, "Same body")
	var sheet wire.Sheet
	p.until(t, "/api/bullpens/"+pen, &sheet, func() bool { return looked(sheet) && len(sheet.Proposals) >= len(truth.Reps) })
	desk.until(fmt.Sprintf(`document.querySelector(".proposal-note")?.innerText.includes("%d reps proposed")`, len(truth.Reps)))
	confirm(t, desk, len(truth.Reps))
	desk.until(`document.querySelector(".saving-state.saved")`) // the page asks before it is left unsaved
	p.until(t, "/api/bullpens/"+pen, &sheet, func() bool {
		return len(sheet.Reps) == len(truth.Reps) && !slices.ContainsFunc(sheet.Reps, func(r wire.Rep) bool { return r.Reading == nil })
	})
	for i, r := range sheet.Reps {
		set, number := 1+i/2, 1+i%2
		if r.Pitch != truth.Reps[i].Pitch || r.Set != set || r.Number != number || r.Reading.Value != typed[i] || r.Reading.Gun != "behind catcher" {
			t.Errorf("rep %d is %s, set %d, number %d, %v; want %s, set %d, number %d, %v",
				i+1, r.Pitch, r.Set, r.Number, r.Reading, truth.Reps[i].Pitch, set, number, typed[i])
		}
	}

	answer(t, desk, line.url, pen, sheet)
	reply := her.page(t).Answer
	if reply == nil || len(reply.Clips) != 2 || len(reply.Drawings) != 1 || reply.Next == nil {
		t.Fatalf("the answer is %+v", reply)
	}

	// Her phone shows it, and plays it.
	phone, _ := browser.another()
	phone.phone()
	phone.do(chromedp.Navigate(link))
	phone.until(`document.querySelector(".answer")`)
	for _, want := range []string{words, "Pitch 2, change-up", "beside pitch 1, fastball", "Front side stays open", "When she swings at your fastball, this one is ", "Next: Same body", "in the band"} {
		if !strings.Contains(eval[string](phone, `document.querySelector(".answer").textContent.replaceAll("\u00a0", " ")`), want) {
			t.Errorf("the answer lacks %q: %s", want, eval[string](phone, `document.querySelector(".answer").innerText`))
		}
	}
	phone.until(`[...document.querySelectorAll(".answer img")].every((i) => i.naturalWidth > 0) && document.querySelectorAll(".answer .frame svg *").length > 1`)
	for i := range reply.Clips {
		clip := fmt.Sprintf(`document.querySelectorAll(".answer video")[%d]`, i)
		eval[bool](phone, clip+`.play().then(() => true)`)
		phone.until(clip + `.currentTime > 0.2 && ` + clip + `.videoWidth > 0`)
		eval[bool](phone, clip+`.pause(), true`)
	}
	if wide := eval[int64](phone, "document.documentElement.scrollWidth"); wide > 360 {
		t.Errorf("her page is %d pixels wide", wide)
	}

	// Somebody else's link knows nothing of her.
	phone, _ = browser.another()
	phone.phone()
	phone.do(chromedp.Navigate(line.url + "/s#" + other.token))
	phone.until(`document.body.innerText.includes("Homework for Jay")`)
	text := eval[string](phone, `document.documentElement.outerHTML`)
	for _, hers := range []string{"Wren", "Same body", words, filepath.Base(path), "What came back", "<video"} {
		if strings.Contains(text, hers) {
			t.Errorf("another student's page has %q", hers)
		}
	}
	if page := other.page(t); page.Answer != nil || len(page.Films) != 0 || len(page.Arriving) != 0 {
		t.Errorf("another student's slip opens %+v", page)
	}
}

// typed is what a parent's gun showed, in the order of the workout.
var typed = []float64{56, 46, 55, 47}

// words is what the instructor answers.
const words = "Legs as fast as on your fastball: keep them."

// handOut writes a workout, hands it out to a new pitcher whose guardian has agreed,
// and returns the link.
func handOut(b tab, url string) string {
	b.t.Helper()
	b.do(chromedp.Navigate(url + "/workouts"))
	b.push("New workout")
	b.write("Title", "Same body")
	b.fill(`[aria-label="Set 1: times in a row"]`, "2")
	b.fill(`[aria-label="Line 1: reps"]`, "1")
	b.push("Another line")
	b.until(`document.querySelector('[aria-label="Line 2: pitch"]')`)
	eval[bool](b, `(() => {
		const list = document.querySelector('[aria-label="Line 2: pitch"]');
		list.value = "ch";
		list.dispatchEvent(new Event("change", { bubbles: true }));
		return true;
	})()`)
	b.until(`document.querySelector(".workout-editor .total").innerText === "4 reps"`)
	b.push("Keep the workout")
	b.push("Hand out Same body")
	b.write("New pitcher’s nickname", "Wren")
	b.push("Add her")
	b.write("Who said yes", "her mother")
	b.push("Homework: her films")
	b.push("Put it on record")
	b.push("Make the link")
	b.until(`document.querySelector("[data-link]")?.value`)
	link := eval[string](b, `document.querySelector("[data-link]").value`)
	b.push("Done")
	return link
}

// sendOverABadLine sends a film from a phone: the connection is lost, the page is
// closed, the server is killed. Every time it goes on from where it was. It returns
// the program that runs at the end.
func sendOverABadLine(t *testing.T, browser tab, line *gate, p *program, her *student, link, path, data string) *program {
	t.Helper()
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	quarter := info.Size() / 4
	line.dieAfter(quarter)
	phone, closePhone := browser.another()
	opened := func() {
		phone.phone()
		phone.do(chromedp.Navigate(link))
		phone.until(`document.querySelector(".thumb input")`)
		// From which place on each piece is sent, as the page tells the server.
		eval[bool](phone, `(() => {
			window.begun = [];
			const set = XMLHttpRequest.prototype.setRequestHeader;
			XMLHttpRequest.prototype.setRequestHeader = function (name, value) {
				if (name === "Upload-Offset") begun.push(Number(value));
				return set.call(this, name, value);
			};
			return true;
		})()`)
	}
	pick := func() {
		phone.do(chromedp.SetUploadFiles(chromedp.CSS(".thumb input"), []string{path}))
	}
	// here waits until a connection has carried all it can since before, and returns
	// how much of the film the server has, once it is no longer taking any in.
	here := func(before int64) int64 {
		var n int64
		for deadline := time.Now().Add(30 * time.Second); time.Now().Before(deadline); time.Sleep(250 * time.Millisecond) {
			arriving := her.page(t).Arriving
			if len(arriving) != 1 {
				continue
			}
			had := n
			if n = arriving[0].Received; n == had && n >= before+quarter-16<<10 {
				return n
			}
		}
		t.Fatalf("%d bytes are here, a quarter more than %d should be", n, before)
		return 0
	}
	goesOn := func(before int64, by string) int64 {
		t.Helper()
		n := here(before)
		if from := eval[[]int64](phone, "begun"); len(from) == 0 || from[len(from)-1] != before {
			t.Errorf("%s: sent from %v, %d bytes were here", by, from, before)
		}
		t.Logf("%s: went on from %d of %d bytes, now %d", by, before, info.Size(), n)
		return n
	}

	opened()
	firstLoad(t, phone)
	pick()
	at := here(0)
	id := her.page(t).Arriving[0].ID
	phone.push("Pause")
	phone.until(`document.querySelector("[data-state=paused]")`)
	phone.push("Go on")
	at = goesOn(at, "paused")

	line.cut()
	phone.until(`document.querySelector("[data-state=interrupted]")`)
	line.mend() // it goes on by itself
	at = goesOn(at, "the connection was lost")

	closePhone()
	phone, closePhone = browser.another()
	opened()
	phone.until(`document.querySelector(".films")?.innerText.includes("Choose the same film again")`)
	line.dieAfter(quarter / 2)
	quarter /= 2
	pick()
	at = goesOn(at, "the page was closed")
	typeReadings(phone)

	if got := her.page(t).Arriving[0].ID; got != id {
		t.Errorf("the upload is %s now, it began as %s", got, id)
	}
	p.kill(t)
	phone.until(`document.querySelector("[data-state=interrupted]")`)
	line.dieAfter(0)
	p = serve(t, data)
	line.lead(p)
	her.p = p
	phone.until(`document.querySelector(".films")?.innerText.includes("It has arrived, whole.")`)
	phone.until(`document.querySelector(".thumb").innerText.includes("1 film has arrived.")`)
	if from := eval[[]int64](phone, "begun"); from[len(from)-1] != at {
		t.Errorf("the server was killed: sent from %v, %d bytes were here", from, at)
	}
	t.Logf("the server was killed: went on from %d of %d bytes", at, info.Size())
	closePhone()
	return p
}

// typeReadings types what the gun showed beside each rep, and a note.
func typeReadings(phone tab) {
	phone.t.Helper()
	phone.push("Somebody held a radar gun")
	phone.choose("Where it stood", "behind the catcher")
	for i, v := range typed {
		phone.fill(fmt.Sprintf("#place-%d", i), fmt.Sprint(v))
	}
	phone.write("A note to your instructor", "My knee was fine.")
	phone.press(kb.Tab)
	phone.until(`[...document.querySelectorAll("[role=status]")].some((e) => e.innerText === "Kept.")`)
}

// firstLoad says how much a student's phone loads before her page is there.
func firstLoad(t *testing.T, phone tab) {
	t.Helper()
	const most = 100 << 10
	n := eval[int](phone, `[...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")].reduce((n, e) => n + e.transferSize, 0)`)
	t.Logf("the student's page: %d KiB over the line at first", n>>10)
	if n == 0 || n > most {
		t.Errorf("the student's page loads %d bytes at first, at most %d are wanted", n, most)
	}
}

// bullpenOf returns the bullpen of the homework called title.
func bullpenOf(t *testing.T, p *program, title string) string {
	t.Helper()
	var list wire.HomeworkList
	p.must(t, http.MethodGet, "/api/homework", nil, &list)
	i := slices.IndexFunc(list.Homework, func(h wire.HomeworkCard) bool { return h.Title == title })
	if i < 0 {
		t.Fatalf("there is no homework %q in %+v", title, list.Homework)
	}
	return list.Homework[i].BullpenID
}

// confirm says yes to proposed reps until there are so many. While the others are
// found anew from the first one, the film room asks for a moment's patience.
func confirm(t *testing.T, b tab, reps int) {
	t.Helper()
	rows := func() int { return eval[int](b, `document.querySelectorAll(".ledger tbody tr").length`) }
	for deadline := time.Now().Add(60 * time.Second); rows() < reps; {
		if time.Now().After(deadline) {
			t.Fatalf("%d reps are marked; the page says %s", rows(), eval[string](b, `document.querySelector(".proposal-note")?.innerText ?? "nothing"`))
		}
		had := rows()
		if eval[bool](b, `Boolean(document.querySelector(".proposal-note")?.innerText.includes("It is a rep"))`) {
			b.press("y")
		} else {
			b.press("n")
		}
		for i := 0; i < 20 && rows() == had; i++ {
			time.Sleep(20 * time.Millisecond)
		}
	}
}

// answer makes a clip of the second rep and one of it beside the first, draws on a
// frame, and sends both with words and the next workout.
func answer(t *testing.T, b tab, url, pen string, sheet wire.Sheet) {
	t.Helper()
	p := sheet.Reps[1].ID
	b.do(chromedp.Navigate(url + "/side-by-side/" + p))
	b.until(`(() => { const films = [...document.querySelectorAll(".side video")]; return films.length === 2 && films.every((v) => v.readyState >= 2); })()`)
	b.push("Save as one film")
	b.until(`[...document.querySelectorAll("a")].some((a) => a.innerText === "Download the film")`)

	b.do(chromedp.Navigate(url + "/bullpens/" + pen + "/film/" + p))
	b.until(fmt.Sprintf(`document.querySelector(".rep-board h2")?.innerText === "Rep 2" && document.querySelector(".screen-of-film video")?.readyState >= 2 && %s === %d`, shownFrame, *sheet.Reps[1].Release))
	b.push("Make clip")
	b.press("o")
	b.until(`document.querySelector(".drawing-layer.open")`)
	size := eval[[]float64](b, `(() => {
		const layer = document.querySelector(".drawing-layer");
		layer.scrollIntoView({ block: "center", behavior: "instant" });
		const r = layer.getBoundingClientRect();
		return [r.x, r.y, r.width, r.height];
	})()`)
	point := func(x, y float64) { b.touch(size[0]+x*size[2], size[1]+y*size[3]) }
	b.press("a")
	point(0.6, 0.4)
	point(0.5, 0.6)
	point(0.62, 0.75)
	b.until(`document.querySelector(".drawn-list")?.innerText.includes("Angle of")`)
	b.press("n")
	point(0.3, 0.5)
	b.until(`document.activeElement?.closest(".note-field")`)
	b.press("Front side stays open", kb.Enter)
	b.until(`document.querySelectorAll(".drawn-list li").length === 2`)
	b.press(kb.Escape)

	b.until(`document.querySelectorAll(".picks input").length === 3`)
	b.press("e")
	b.press(words)
	for i := range 3 {
		b.hit(eval[string](b, fmt.Sprintf(`document.querySelectorAll(".picks label")[%d].innerText.trim()`, i)), ".picks label")
	}
	b.until(`document.querySelectorAll(".picks input:checked").length === 3`)
	b.choose("Next workout", "Same body")
	b.push("Send the reply")
	b.until(`document.querySelector(".reply-panel .sent")`)
}
