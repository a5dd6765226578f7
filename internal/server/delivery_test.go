package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
)

// A delivery sheet shows the very frames that were marked, read back out of its pixels,
// and the times between them that were drawn; deleting the film takes it away.
func TestDeliverySheet(t *testing.T) {
	const get, post, patch, del = http.MethodGet, http.MethodPost, http.MethodPatch, http.MethodDelete
	const width, height = 320, 180
	path := filepath.Join(t.TempDir(), "numbered.mp4")
	truth, err := demo.Write(t.Context(), demo.Options{
		Seed: 3, Width: width, Height: height, Pace: demo.FPS(30, 1), Rest: 4.6, Steady: true, Lead: 1.4, Tail: 0.8,
		Reps: demo.Series(1, 1, demo.Same, 1), PlainStage: true, FrameNumber: true, Sound: demo.Sound{Off: true},
	}, path)
	if err != nil {
		t.Fatal(err)
	}
	h := newHouse(t)
	h.pen(t)
	h.upload(t, path, "numbered.mp4")
	h.until(t, "/api/films/$film", func(body string) bool { return strings.Contains(body, `"state":"ready"`) })
	h.run(t, []exchange{
		{"nothing is marked", get, "/api/bullpens/$pen/delivery", "", 422, "mark drive, plant, top and release", nil},
		{"so there is no picture", get, "/api/bullpens/$pen/delivery.jpg", "", 422, "", nil},
	})
	for i, r := range truth.Reps {
		h.keep(t, fmt.Sprintf("rep%d", i+1), "rep.id", h.send(t, post, "/api/bullpens/$pen/reps", fmt.Sprintf(
			`{"filmId":"$film","pitch":%q,"drive":%d,"plant":%d,"top":%d,"release":%d,"reading":{"value":%v,"unit":"mph","step":1,"gun":"behind catcher"}}`,
			r.Pitch, r.Drive.Frame, r.Plant.Frame, r.Top.Frame, r.Release.Frame, r.Reading.Value)))
	}
	h.run(t, []exchange{
		{"see all of the picture", patch, "/api/films/$film", `{"version":2,"box":{"x":0,"y":0,"width":1,"height":1}}`, 200, "", nil},
		{"the same rep twice", get, "/api/bullpens/$pen/delivery?off=$rep1&fast=$rep1", "", 422, "two different reps", nil},
		{"a rep of nobody", get, "/api/bullpens/$pen/delivery.jpg?off=nope", "", 404, "no longer in this bullpen", nil},
	})

	var sheet wire.DeliverySheet
	if err := json.Unmarshal([]byte(h.send(t, get, "/api/bullpens/$pen/delivery", "").body), &sheet); err != nil {
		t.Fatal(err)
	}
	answer := h.send(t, get, sheet.Picture, "")
	if answer.status != http.StatusOK || answer.header.Get("Content-Type") != "image/jpeg" {
		t.Fatalf("the picture: %d %s", answer.status, answer.body)
	}
	for _, tag := range []string{"Exif", "http:", "Lavc", "Photoshop"} {
		if strings.Contains(answer.body, tag) {
			t.Errorf("the picture carries %q", tag)
		}
	}
	picture, err := jpeg.Decode(bytes.NewReader([]byte(answer.body)))
	if err != nil {
		t.Fatal(err)
	}
	for row, said := range []wire.DeliveryRow{sheet.Fast, sheet.Off} {
		r := truth.Reps[row]
		if said.RepID != h.vars[fmt.Sprintf("rep%d", row+1)] || !strings.Contains(sheet.Words, fmt.Sprintf("%v mph (no. %d)", r.Reading.Value, row+1)) {
			t.Errorf("row %d shows %s; words: %s", row, said.Title, sheet.Words)
		}
		for k, drawn := range []int{r.Drive.Frame, r.Plant.Frame, r.Top.Frame, r.Release.Frame} {
			got := said.Instants[k]
			cell := image.Rect(24+330*k, 78+312*row, 24+330*k+width, 78+312*row+height)
			if n, ok := demo.ReadNumber(grays(picture, cell), width, height); !ok || n != drawn || got.Frame != drawn {
				t.Errorf("%s of %s: frame %d was drawn, %d is said, the pixels say %d (%v)", got.Name, said.Title, drawn, got.Frame, n, ok)
			}
			// Within a frame of either end of what was drawn at 30 frames a second.
			if want := int(1000 * (r.Release.Seconds - []float64{r.Drive.Seconds, r.Plant.Seconds, r.Top.Seconds, r.Release.Seconds}[k])); got.Millis < want-67 || got.Millis > want+67 {
				t.Errorf("%s of %s: %d ms before release, %d were drawn", got.Name, said.Title, got.Millis, want)
			}
		}
	}
	h.run(t, []exchange{
		{"it downloads by a name that is nobody's", get, "/api/bullpens/$pen/delivery.jpg?download=1", "", 200, "", nil},
		{"delete the film", del, "/api/films/$film", "", 200, "", nil},
		{"the sheet is gone", get, "/api/bullpens/$pen/delivery", "", 422, "", nil},
		{"and its picture", get, sheet.Picture, "", 422, "", nil},
	})
}

// grays returns a part of a picture as gray pixels.
func grays(picture image.Image, at image.Rectangle) []byte {
	var out []byte
	for y := at.Min.Y; y < at.Max.Y; y++ {
		for x := at.Min.X; x < at.Max.X; x++ {
			out = append(out, color.GrayModel.Convert(picture.At(x, y)).(color.Gray).Y)
		}
	}
	return out
}
