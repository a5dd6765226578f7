package e2e

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"math"
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
)

// Looked at closer, the screen itself shows the frame asked for, where the lens says that
// it lies; and what is drawn there is kept where it was drawn on the film.
func TestCloserShowsTheSameFrame(t *testing.T) {
	const width, height = 320, 180
	p := serve(t, t.TempDir())
	pen, _ := p.begin(t, numbered(t, width, height, demo.FPS(30, 1)))
	b := open(t, 1200, 900)
	b.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID + "/film"))
	b.until(shownFrame + ` === 0 && document.querySelector(".screen-of-film video")?.readyState >= 2`)
	b.press("+", "+")
	for range 8 { // into the corner with the number
		b.do(chromedp.KeyEvent(kb.ArrowLeft, chromedp.KeyModifiers(chromedp.ModifierCtrl)), chromedp.KeyEvent(kb.ArrowUp, chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	}
	const zoom = 2.25
	// Where the picture's place lies, and the film's own rectangle, enlarged beyond it.
	place := func() (r [4]float64) {
		copy(r[:], eval[[]float64](b, `(() => { const r = document.querySelector(".screen-of-film").getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; })()`))
		return r
	}
	film := eval[[]float64](b, `(() => { const r = document.querySelector(".screen-of-film video").getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; })()`)
	at := place()
	if math.Abs(film[0]-at[0]) > 1 || math.Abs(film[1]-at[1]) > 1 || math.Abs(film[2]/at[2]-zoom) > 0.01 || math.Abs(at[2]/at[3]-float64(width)/height) > 0.01 {
		t.Fatalf("the film lies at %v in a place at %v", film, at)
	}
	onScreen := func() int {
		shot, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		picture, err := png.Decode(bytes.NewReader(shot))
		if err != nil {
			t.Fatal(err)
		}
		at := place()
		gray := make([]byte, width*height)
		for y := range height {
			for x := range width {
				sx, sy := (float64(x)+0.5)/width*zoom, (float64(y)+0.5)/height*zoom
				if sx < 1 && sy < 1 {
					gray[y*width+x] = color.GrayModel.Convert(picture.At(int(at[0]+sx*at[2]), int(at[1]+sy*at[3]))).(color.Gray).Y
				}
			}
		}
		n, ok := demo.ReadNumber(gray, width, height)
		if !ok {
			return -1
		}
		return n
	}
	wrong, frame := 0, 0
	for i := range 16 {
		key, step := kb.ArrowRight, 1
		if i >= 12 {
			key, step = kb.ArrowLeft, -1
		}
		frame += step
		b.press(key)
		b.until(fmt.Sprintf("%s === %d", shownFrame, frame))
		if n := onScreen(); n != frame {
			wrong++
			t.Errorf("frame %d is said to be on show, the screen says %d", frame, n)
		}
	}
	t.Logf("%d of 16 wrong at %.2f times", wrong, zoom)

	// A line drawn on the enlarged picture.
	b.press("m")
	b.until(`document.activeElement?.tagName === "INPUT"`)
	b.press(kb.Escape)
	b.until(`document.querySelector(".saving-state.saved")`)
	var sheet wire.Sheet
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return len(sheet.Reps) == 1 })
	b.press("o", "l")
	b.until(`document.querySelector(".drawing-layer.open")`)
	at = place()
	want := [][]float64{{0.1, 0.3}, {0.4, 0.2}}
	for _, point := range want {
		b.touch(at[0]+point[0]*zoom*at[2], at[1]+point[1]*zoom*at[3])
	}
	b.until(`document.querySelectorAll(".drawn-list li").length === 1`)
	var drawn wire.DrawingList
	p.until(t, "/api/reps/"+sheet.Reps[0].ID+"/drawings", &drawn, func() bool { return len(drawn.Drawings) == 1 })
	for i, got := range drawn.Drawings[0].Shapes[0].Points {
		if math.Abs(got[0]-want[i][0]) > 0.005 || math.Abs(got[1]-want[i][1]) > 0.005 {
			t.Errorf("point %d was drawn at %v of the film, it is kept at %v", i, want[i], got)
		}
	}
	b.press(kb.Escape, "0")
	b.until(`document.querySelector(".glass").style.transform === "none"`)
	var again wire.DrawingList
	p.must(t, http.MethodGet, "/api/reps/"+sheet.Reps[0].ID+"/drawings", nil, &again)
	if len(again.Drawings) != 1 {
		t.Errorf("%d drawings after looking at the whole", len(again.Drawings))
	}
}
