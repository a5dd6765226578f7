package e2e

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"image"
	_ "image/png"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/bullpen"
	"tenoff/internal/film/filmtest"
	"tenoff/internal/server/wire"
)

// onScreen is what the film room shows right now: the frame it names, and the picture
// that is seen, a still that lies over the film included.
const onScreen = `(() => {
	const film = document.querySelector(".screen-of-film video"), still = document.querySelector(".screen-of-film canvas.meanwhile");
	const from = still ?? film, canvas = document.createElement("canvas");
	canvas.width = film.videoWidth || still?.width || 1; canvas.height = film.videoHeight || still?.height || 1;
	canvas.getContext("2d").drawImage(from, 0, 0, canvas.width, canvas.height);
	return JSON.stringify({ frame: ` + shownFrame + `, from: film.currentSrc.split("/").pop(), still: still !== null, picture: canvas.toDataURL("image/png") });
})()`

type shown struct {
	frame, number int
	from          string
	still         bool
}

// look reads the number off what is on the screen. undo turns an upright picture back
// to how it was stored.
func (b tab) look(undo func(image.Image) image.Image) shown {
	b.t.Helper()
	var said struct {
		Frame         int
		From, Picture string
		Still         bool
	}
	if err := json.Unmarshal([]byte(eval[string](b, onScreen)), &said); err != nil {
		b.t.Fatal(err)
	}
	data, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(said.Picture, "data:image/png;base64,"))
	if err != nil {
		b.t.Fatal(err)
	}
	picture, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		b.t.Fatal(err)
	}
	return shown{said.Frame, filmtest.NumberIn(undo(picture), filmtest.Reading{}), said.From, said.Still}
}

// untilWorking looks at a frame, which the film itself calls number, again and again until
// the working copy shows it: never is another one on the way.
func (b tab) untilWorking(undo func(image.Image) image.Image, frame, number int) {
	b.t.Helper()
	seen := map[string]int{}
	for began := time.Now(); ; {
		got := b.look(undo)
		if got.number != number || got.frame != frame {
			b.t.Fatalf("while the working copy comes: %+v, want frame %d", got, frame)
		}
		seen[fmt.Sprintf("%s, still %v", got.from, got.still)]++
		if got.from == "working.mp4" && !got.still {
			break
		}
		if time.Since(began) > 2*patience {
			b.t.Fatalf("the working copy never came: %v", seen)
		}
	}
	b.t.Logf("looked at while the working copy came: %v", seen)
}

// A film is stepped and marked before it was read, from the original; then the working
// copy takes its place. Every picture on the way is the frame that is named, read out
// of its pixels, and the mark stays on its frame.
func TestFilmOpensAtOnce(t *testing.T) {
	asIs := func(p image.Image) image.Image { return p }
	for name, c := range map[string]struct {
		recipe filmtest.Recipe
		undo   func(image.Image) image.Image
	}{
		"rate varies": {filmtest.Recipe{Name: "varies.mov", BFrames: 2, Sound: true, Timescale: 600, Pts: "20*N+20*floor(N/10)+5*mod(N*7,4)"}, asIs},
		"upright":     {filmtest.Recipe{Name: "upright.mp4", BFrames: 2, Rotate: 90}, clockwise},
	} {
		t.Run(name, func(t *testing.T) {
			c.recipe.Numbered, c.recipe.Frames = true, 90
			path, err := c.recipe.Make(t.Context(), t.TempDir())
			if err != nil {
				t.Fatal(err)
			}
			release := holdReading(t)
			p := serve(t, t.TempDir())
			var pen wire.Bullpen
			p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)
			sent := p.put(t, pen.ID, path)
			var film wire.Film
			p.until(t, "/api/films/"+sent.ID, &film, func() bool { return film.Steppable })
			if film.State != bullpen.FilmReading || film.Frames != 90 {
				t.Fatalf("%+v", film)
			}

			var sheet wire.Sheet
			p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return len(sheet.Proposals) > 0 || !c.recipe.Sound })
			for _, found := range sheet.Proposals {
				if found.Sure || found.Reason != "by sound so far" || found.Release >= film.Frames {
					t.Errorf("proposed while nothing was seen: %+v", found)
				}
			}

			b := open(t, 1440, 900)
			b.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID + "/film"))
			b.until(shownFrame + ` === 0 && document.querySelector(".screen-of-film video")?.readyState >= 2`)
			b.until(`document.body.innerText.includes("can be stepped and marked already")`)
			step := func(from string, keys ...string) int {
				t.Helper()
				frame := eval[int](b, shownFrame)
				for _, k := range keys {
					b.press(k)
					frame += map[string]int{kb.ArrowRight: 1, kb.ArrowLeft: -1}[k]
					b.until(fmt.Sprintf("%s === %d", shownFrame, frame))
					if got := b.look(c.undo); got.number != frame || got.frame != frame || got.from != from {
						t.Errorf("frame %d of %s: %+v", frame, from, got)
					}
				}
				return frame
			}
			forth, back := strings.Split(strings.Repeat(kb.ArrowRight, 40), ""), strings.Split(strings.Repeat(kb.ArrowLeft, 3), "")
			step("opened.mp4", forth...)
			at := step("opened.mp4", back...)

			b.press("m")
			b.until(`document.activeElement?.tagName === "INPUT"`)
			b.press("5", "1", "f", kb.Enter)
			marked := func() *int {
				var sheet wire.Sheet
				p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
				if len(sheet.Reps) != 1 || sheet.Reps[0].Reading == nil {
					return nil
				}
				return sheet.Reps[0].Release
			}
			p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return marked() != nil })
			if got := *marked(); got != at {
				t.Errorf("marked frame %d, not %d", got, at)
			}
			b.until(`document.activeElement?.tagName !== "INPUT"`)
			at = step("opened.mp4", back...)

			release()
			b.untilWorking(c.undo, at, at)
			at = step("working.mp4", forth...)
			step("working.mp4", back...)
			if got := *marked(); got != at-40+3 {
				t.Errorf("the mark is on frame %d now, not %d", got, at-40+3)
			}
		})
	}
}

// clockwise turns a picture by a quarter.
func clockwise(p image.Image) image.Image {
	b := p.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, b.Dy(), b.Dx()))
	for y := range b.Dx() {
		for x := range b.Dy() {
			out.Set(x, y, p.At(b.Min.X+y, b.Max.Y-1-x))
		}
	}
	return out
}

// holdReading has the decoding pass of programs that start from now on wait until the
// returned function is called.
func holdReading(t *testing.T) (release func()) {
	t.Helper()
	real, err := exec.LookPath("ffmpeg")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	gate := filepath.Join(dir, "go")
	script := "#!/bin/sh\ncase \"$*\" in *libx264*) while ! [ -e '" + gate + "' ] && [ -d '" + dir + "' ]; do sleep 0.05; done;; esac\nexec '" + real + "' \"$@\"\n"
	if err := os.WriteFile(filepath.Join(dir, "ffmpeg"), []byte(script), 0o700); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir+string(os.PathListSeparator)+os.Getenv("PATH"))
	release = func() {
		if err := os.WriteFile(gate, nil, 0o600); err != nil {
			t.Error(err)
		}
	}
	return release
}

// put sends a film and does not wait until it was read.
func (p *program) put(t testing.TB, penID, path string) wire.Film {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var sent wire.UploadResult
	p.must(t, http.MethodPut, "/api/bullpens/"+penID+"/films?name="+filepath.Base(path), io.Reader(f), &sent)
	return sent.Film
}
