package e2e

import (
	"fmt"
	"image"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/bullpen"
	"tenoff/internal/film/filmtest"
	"tenoff/internal/server/wire"
)

// paced has the decoding pass of programs that start from now on read films no faster
// than they play, so that there is time to look at what is finished.
func paced(t *testing.T) {
	t.Helper()
	real, err := exec.LookPath("ffmpeg")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	script := "#!/bin/sh\ncase \"$*\" in *libx264*) for a; do shift; [ \"$a\" = -i ] && set -- \"$@\" -re; set -- \"$@\" \"$a\"; done;; esac\nexec '" + real + "' \"$@\"\n"
	if err := os.WriteFile(filepath.Join(dir, "ffmpeg"), []byte(script), 0o700); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir+string(os.PathListSeparator)+os.Getenv("PATH"))
}

// signalPass sends a signal to the decoding pass of a program.
func (p *program) signalPass(t *testing.T, s syscall.Signal) {
	t.Helper()
	for _, id := range childrenOf(p.cmd.Process.Pid) {
		line, _ := os.ReadFile("/proc/" + id + "/cmdline")
		if pid, err := strconv.Atoi(id); err == nil && strings.Contains(string(line), "libx264") {
			if err := syscall.Kill(pid, s); err != nil {
				t.Error(err)
			}
			return
		}
	}
	t.Fatal("no decoding pass runs")
}

// finished waits until so many frames of a film that is being read can be shown.
func (p *program) finished(t *testing.T, id string, least int) int {
	t.Helper()
	var now wire.Finished
	p.until(t, "/api/films/"+id+"/finished", &now, func() bool { return now.Frames >= least })
	return now.Frames
}

// hold has the decoding pass wait, and returns how many frames are finished then.
func (p *program) hold(t *testing.T, id string) int {
	t.Helper()
	p.signalPass(t, syscall.SIGSTOP)
	time.Sleep(time.Second) // what it has handed over is taken
	return p.finished(t, id, 1)
}

// scraps lists what lies in a data folder of readings that are not over.
func scraps(t *testing.T, data string) (found []string) {
	t.Helper()
	err := filepath.WalkDir(data, func(path string, _ os.DirEntry, err error) error {
		if strings.Contains(path, ".reading-") {
			found = append(found, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// A film that no browser plays as it is coded, or whose edit list hides frames, is stepped
// and marked as far as it was read: then farther, then from the whole working copy. Every
// picture on the way is the frame that is named, read out of its pixels, and the mark
// stays on its frame. In between the program is killed: nothing half made is left.
func TestFilmOpensAsItIsRead(t *testing.T) {
	const all = 900
	for name, c := range map[string]struct {
		recipe filmtest.Recipe
		hidden int // frames that come before those which are shown
	}{
		"HEVC":    {recipe: filmtest.Recipe{Name: "phone.mov", Codec: "hevc", Sound: true}},
		"trimmed": {recipe: filmtest.Recipe{Name: "cut.mp4", BFrames: 2, Sound: true, Trim: 0.4}, hidden: 12},
	} {
		t.Run(name, func(t *testing.T) {
			c.recipe.Numbered, c.recipe.Frames = true, all+c.hidden
			path, err := c.recipe.Make(t.Context(), t.TempDir())
			if err != nil {
				t.Fatal(err)
			}
			paced(t)
			data := t.TempDir()
			p := serve(t, data)
			var pen wire.Bullpen
			p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)
			sent := p.put(t, pen.ID, path)
			if name == "HEVC" {
				p.finished(t, sent.ID, 30)
				p.kill(t)
				p = serve(t, data)
			}
			p.finished(t, sent.ID, 60)
			had := p.hold(t, sent.ID)
			var film wire.Film
			p.must(t, http.MethodGet, "/api/films/"+sent.ID, nil, &film)
			if film.State != bullpen.FilmReading || !film.Steppable || film.Frames != all || had >= all {
				t.Fatalf("%d frames finished of %+v", had, film)
			}

			asIs := func(p image.Image) image.Image { return p }
			b := open(t, 1440, 900)
			b.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID + "/film"))
			b.until(shownFrame + ` === 0 && document.querySelector(".screen-of-film video")?.readyState >= 2`)
			right := func(frame int) string {
				t.Helper()
				b.until(fmt.Sprintf("%s === %d", shownFrame, frame))
				got := b.look(asIs)
				if got.number != frame+c.hidden || got.frame != frame {
					t.Errorf("frame %d: %+v", frame, got)
				}
				return got.from
			}
			part := fmt.Sprintf("%d.mp4", had)
			step := func(times int, key string) (from string) {
				t.Helper()
				by := map[string]int{kb.ArrowRight: 1, kb.ArrowLeft: -1}[key]
				frame := eval[int](b, shownFrame)
				for range times {
					b.press(key)
					frame += by
					from = right(frame)
				}
				return from
			}
			if from := step(25, kb.ArrowRight); from != part {
				t.Errorf("stepped from %s, want %s", from, part)
			}
			b.press("m")
			b.until(`document.activeElement?.tagName === "INPUT"`)
			b.press("5", "1", "f", kb.Enter)
			release := func() int {
				var sheet wire.Sheet
				p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
				if len(sheet.Reps) != 1 || sheet.Reps[0].Reading == nil || sheet.Reps[0].Release == nil {
					return -1
				}
				return *sheet.Reps[0].Release
			}
			var sheet wire.Sheet
			p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return release() >= 0 })
			if got := release(); got != 25 {
				t.Errorf("marked frame %d, not 25", got)
			}
			b.until(`document.activeElement?.tagName !== "INPUT"`)
			b.press(kb.End)
			right(had - 1)
			b.until(`document.body.innerText.includes("The film was read as far as here")`)

			// It is read on, and stops anew: what came is there without anything to do.
			p.signalPass(t, syscall.SIGCONT)
			p.finished(t, sent.ID, had+30)
			more := p.hold(t, sent.ID)
			b.until(fmt.Sprintf(`(document.dispatchEvent(new KeyboardEvent("keydown", { key: "End", bubbles: true })), %s === %d)`, shownFrame, more-1))
			at := more - 1
			if from := step(12, kb.ArrowLeft); from == part || from == "working.mp4" {
				t.Errorf("stepped from %s although %d frames were finished", from, more)
			}
			at -= 12

			p.signalPass(t, syscall.SIGCONT)
			b.untilWorking(asIs, at, at+c.hidden)
			b.press(kb.End)
			right(all - 1)
			if from := step(5, kb.ArrowLeft); from != "working.mp4" {
				t.Errorf("stepped from %s", from)
			}
			if got := release(); got != 25 {
				t.Errorf("the mark is on frame %d now, not 25", got)
			}
			if left := scraps(t, data); len(left) > 0 {
				t.Errorf("left behind: %v", left)
			}
		})
	}
}
