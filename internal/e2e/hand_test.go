package e2e

import (
	"encoding/json"
	"fmt"

	"github.com/chromedp/chromedp"
)

// phone makes a tab a phone's: its width, and fingers for a mouse.
func (b *tab) phone() {
	b.t.Helper()
	b.fingers = true
	b.do(chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile, chromedp.EmulateTouch))
}

// another opens one more tab of the same browser; the returned function closes it
// as a person would.
func (b tab) another() (tab, func()) {
	b.t.Helper()
	ctx, end := chromedp.NewContext(b.ctx)
	next := tab{b.t, ctx, false}
	next.start()
	return next, func() {
		if err := chromedp.Cancel(ctx); err != nil {
			b.t.Error(err)
		}
		end()
	}
}

// seen finds what a hand would go for: in the topmost window, shown, and called as
// said, by its words or by its label.
const seen = `(says, tags) => {
	const top = [...document.querySelectorAll("dialog[open]")].at(-1) ?? document;
	return [...top.querySelectorAll(tags)].find((e) => e.getClientRects().length > 0 && !e.disabled
		&& [e.getAttribute("aria-label"), e.innerText].some((words) => words?.trim().replaceAll("\u00a0", " ").startsWith(says)));
}`

// push clicks or taps the button or link called says, once it is there.
func (b tab) push(says string) {
	b.t.Helper()
	b.hit(says, "button, a, summary, label")
}

func (b tab) hit(says, tags string) {
	b.t.Helper()
	find := fmt.Sprintf("(%s)(%s, %s)", seen, quoted(says), quoted(tags))
	b.until(find)
	at := eval[[]float64](b, fmt.Sprintf(`(async () => {
		const e = %s;
		let r, before, at;
		do { // until it lies still, with nothing over it
			e.scrollIntoView({ block: "center", behavior: "instant" });
			before = e.getBoundingClientRect();
			await new Promise((next) => setTimeout(next, 50));
			r = e.getBoundingClientRect();
			at = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
		} while (e.isConnected && (r.x !== before.x || r.y !== before.y || !e.contains(at)));
		return [r.x + r.width / 2, r.y + r.height / 2];
	})()`, find))
	b.touch(at[0], at[1])
}

// touch clicks or taps at a point of the window.
func (b tab) touch(x, y float64) {
	b.t.Helper()
	if b.fingers {
		b.do(chromedp.TapXY(x, y))
	} else {
		b.do(chromedp.MouseClickXY(x, y))
	}
}

// fill writes into a field in place of what is there.
func (b tab) fill(field, text string) {
	b.t.Helper()
	b.until(fmt.Sprintf("document.querySelector(%s)", quoted(field)))
	eval[bool](b, fmt.Sprintf(`(() => { const e = document.querySelector(%s); e.focus(); e.select?.(); return true; })()`, quoted(field)))
	b.press(text)
}

// labelled is the field of the topmost window whose label begins with says.
func labelled(says string) string {
	return fmt.Sprintf(`(%s)(%s, "label")?.control`, seen, quoted(says))
}

// write fills the field whose label begins with says.
func (b tab) write(says, text string) {
	b.t.Helper()
	b.until(labelled(says))
	eval[bool](b, fmt.Sprintf(`(() => { const e = %s; e.focus(); e.select?.(); return true; })()`, labelled(says)))
	b.press(text)
}

// choose picks an option, by the words it begins with, of the labelled list.
func (b tab) choose(says, option string) {
	b.t.Helper()
	b.until(labelled(says))
	if !eval[bool](b, fmt.Sprintf(`(() => {
		const list = %s, at = [...list.options].findIndex((o) => o.text.startsWith(%s));
		if (at < 0) return false;
		list.selectedIndex = at;
		list.dispatchEvent(new Event("change", { bubbles: true }));
		return true;
	})()`, labelled(says), quoted(option))) {
		b.t.Fatalf("%q has no %q", says, option)
	}
}

// quoted is a text as JavaScript writes it.
func quoted(text string) string {
	q, _ := json.Marshal(text) // a string can't fail
	return string(q)
}
