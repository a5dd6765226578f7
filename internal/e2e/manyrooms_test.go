package e2e

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/bullpen"
	"tenoff/internal/film/filmtest"
	"tenoff/internal/server/wire"
)

// Seven film rooms of large films stand open at once, each in a window that is seen: a
// browser opens six connections to one server, and a film that stands still must not keep
// one. All of them are stepped, and what they ask for is answered.
func TestSevenLargeFilmsAtOnce(t *testing.T) {
	recipe := filmtest.Recipe{
		Name: "large.mp4", Width: 640, Height: 360, Frames: 120, Numbered: true, Sound: true,
		Filter: "noise=alls=60:allf=t", Options: []string{"-preset", "ultrafast", "-crf", "4", "-g", "30"},
	}
	path, err := recipe.Make(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	_ = holdReading(t)
	p := serve(t, t.TempDir())
	first := open(t, 1200, 800)
	rooms := make([]tab, 7)
	for i := range rooms {
		var pen wire.Bullpen
		p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: fmt.Sprint("Wren ", i)}, &pen)
		sent := p.put(t, pen.ID, path)
		var film wire.Film
		p.until(t, "/api/films/"+sent.ID, &film, func() bool { return film.Steppable })
		if film.State != bullpen.FilmReading || film.Bytes < 20<<20 {
			t.Fatalf("no large film that can be stepped: %d bytes, %s", film.Bytes, film.State)
		}
		rooms[i] = first
		if i > 0 {
			next, shut := first.another()
			defer shut()
			next.do(chromedp.EmulateViewport(1200, 800))
			rooms[i] = next
		}
		rooms[i].do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID + "/film"))
		rooms[i].until(shownFrame + ` === 0 && document.visibilityState === "visible"`)
	}
	for range 2 {
		for i, b := range rooms {
			at := eval[int](b, shownFrame)
			b.press(kb.ArrowRight)
			b.until(fmt.Sprintf("%s === %d", shownFrame, at+1))
			if n := b.filmNumber(640, 360); n != at+1 {
				t.Errorf("room %d shows frame %d, not %d", i+1, n, at+1)
			}
			if got := eval[int](b, `fetch("/api/health").then((a) => a.status)`); got != http.StatusOK {
				t.Errorf("room %d is answered %d", i+1, got)
			}
		}
	}
}
