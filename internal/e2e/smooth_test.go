package e2e

import (
	"context"
	"flag"
	"fmt"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/demo"
)

var smooth = flag.Bool("smooth", false, "TestFilmRoomIsSmooth: measure how the film room steps and plays")

// timeFrames has the page keep in waits how long it takes from the key that asks for one frame
// more until that one, or one after it, is on show, milliseconds; in named how many are; and
// in asked when each key came.
func (b tab) timeFrames() {
	b.t.Helper()
	eval[bool](b, `(() => {
		const first = `+shownFrame+` + 1;
		window.waits = []; window.named = 0; window.asked = [];
		addEventListener("keydown", () => asked.push(performance.now()), true);
		`+watching(`
			named++;
			while (first + waits.length <= `+shownFrame+`) waits.push(performance.now() - asked[waits.length]);`)+`
		return true;
	})()`)
}

// hold holds a key down until it was pressed n times, 30 times a second; fewer where the page
// takes longer to hear of one, for each waits until the one before was heard.
func (b tab) hold(key string, n int) {
	b.t.Helper()
	b.do(chromedp.Func(func(ctx context.Context, to *chromedp.Target) error {
		beat := time.NewTicker(time.Second / 30)
		defer beat.Stop()
		for i := range n {
			for _, event := range kb.Encode([]rune(key)[0]) {
				event.AutoRepeat = new(i > 0)
				if event.Type == kb.KeyUp && i < n-1 {
					continue
				}
				if _, err := cdp.Call(ctx, to, input.DispatchKeyEvent, *event); err != nil {
					return err
				}
			}
			<-beat.C
		}
		return nil
	}))
}

// TestFilmRoomIsSmooth measures, it asserts nothing: times say something on a quiet machine
// only. It prints how long it takes from a key to the painted frame named below the
// picture, how late the frames come while the key is held down, and how many frames of a
// film played at its own speed the browser skips on a processor four times slower: of those
// that it should have shown, and of those that the page was told of. The same of the bare
// video in an empty page, to compare with.
//
//	go test ./internal/e2e -run FilmRoomIsSmooth -smooth -v
func TestFilmRoomIsSmooth(t *testing.T) {
	if !*smooth {
		t.Skip("it measures: -smooth")
	}
	for _, size := range []struct{ width, height int }{{1280, 720}, {1920, 1080}} {
		t.Run(fmt.Sprintf("%dp30", size.height), func(t *testing.T) { howSmooth(t, size.width, size.height) })
	}
}

func howSmooth(t *testing.T, width, height int) {
	path := filepath.Join(t.TempDir(), "film.mp4")
	_, err := demo.Write(t.Context(), demo.Options{
		Seed: 10, Width: width, Height: height, Pace: demo.FPS(30, 1), Lead: 1, Tail: 1, Handheld: 4, Noise: 4, Reps: demo.Series(2, 1, demo.Same, 1),
	}, path)
	if err != nil {
		t.Fatal(err)
	}
	p := serve(t, t.TempDir())
	pen, film := p.begin(t, path)
	b := open(t, 1440, 900)
	b.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID + "/film"))
	b.until(shownFrame + ` === 0 && document.querySelector(".screen-of-film video")?.readyState >= 2`)

	b.timeKeys()
	for i := range 80 {
		b.press(kb.ArrowRight)
		b.until(shownFrame + " === " + strconv.Itoa(i+1))
	}
	t.Logf("film of %d frames; key to painted frame, 80 steps: %s ms", film.Frames, b.waited())
	b.timeFrames()
	b.hold(kb.ArrowRight, 90)
	b.until(shownFrame + " === 170")
	t.Logf("the key held down for 90 frames: %s ms from a frame's key until that frame or a later one is on show, %s", b.waited(),
		eval[string](b, `named + " of them shown, the last one " + waits.at(-1).toFixed(0) + " ms after its key; " +
			(1000 * (asked.length - 1) / (asked.at(-1) - asked[0])).toFixed(1) + " keys a second came"`))

	// A key comes at any moment between two beats of the screen. Asked for right after a
	// painted frame, the bare video always has a whole beat until the next.
	for _, when := range []struct{ name, wait string }{
		{"at any moment, like a key", "setTimeout(done, 20 + 40 * Math.random())"},
		{"right after a painted frame", "done()"},
	} {
		t.Logf("the bare video, asked %s: %s ms", when.name, eval[string](b, `(async () => {
			const video = document.createElement("video");
			video.muted = true;
			video.src = document.querySelector(".screen-of-film video").currentSrc;
			document.body.append(video);
			await new Promise((done) => video.addEventListener("loadeddata", done));
			const w = [];
			for (let i = 1; i <= 80; i++) {
				await new Promise((done) => `+when.wait+`);
				const asked = performance.now();
				const painted = new Promise((done) => video.requestVideoFrameCallback(done));
				video.currentTime = (i + 0.4) / 30;
				await painted;
				w.push(performance.now() - asked);
			}
			video.remove();
			w.sort((a, b) => a - b);
			const q = (p) => w[Math.floor(p * (w.length - 1))].toFixed(0);
			return "p50 " + q(0.5) + ", p95 " + q(0.95);
		})()`))
	}

	// count counts while a video plays that the script play starts.
	count := func(video, play string) string {
		return eval[string](b, `(async () => {
			const video = `+video+`, quality = () => video.getVideoPlaybackQuality().droppedVideoFrames;
			const dropped = quality();
			let first, last, told = 0;
			const over = new Promise((done) => {
				const next = (_, m) => {
					first ??= m; last = m; told++;
					if (last.mediaTime - first.mediaTime >= 8) done(); else video.requestVideoFrameCallback(next);
				};
				video.requestVideoFrameCallback(next);
				video.addEventListener("ended", done);
			});
			`+play+`;
			await over;
			const due = Math.round((last.mediaTime - first.mediaTime) * 30) + 1;
			return (due - (last.presentedFrames - first.presentedFrames + 1)) + " of " + due + " not shown, " + (due - told) + " not told, " + (quality() - dropped) + " dropped by the decoder";
		})()`)
	}
	slower := func(by float64) {
		b.do(chromedp.Func(func(ctx context.Context, to *chromedp.Target) error {
			_, err := cdp.Call(ctx, to, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: by})
			return err
		}))
	}
	for _, by := range []float64{1, 4} {
		b.press(kb.Home)
		b.until(shownFrame + " === 0")
		slower(by)
		t.Logf("played on a processor %.0f times slower: %s", by, count(`document.querySelector(".screen-of-film video")`,
			`document.dispatchEvent(new KeyboardEvent("keydown", { key: " ", bubbles: true }))`))
		slower(1)
		b.press(" ")
	}
	slower(4)
	t.Logf("the bare video on a processor 4 times slower: %s", count(`(() => { const v = document.createElement("video"); v.muted = true; v.src = document.querySelector(".screen-of-film video").currentSrc; document.body.replaceChildren(v); return v; })()`, `await video.play()`))
}
