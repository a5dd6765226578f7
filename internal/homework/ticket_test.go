package homework

import (
	"bytes"
	"encoding/base64"
	"image/png"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// signer signs tickets at a fixed time.
func signer(now time.Time) *Homework {
	return &Homework{key: []byte("not a secret"), now: func() time.Time { return now }}
}

func TestTicket(t *testing.T) {
	now := time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)
	h := signer(now)
	want := Ticket{Link: "abc", Kind: "clip", Of: "def"}
	text := h.Sign(want)
	if got, ok := h.Read(text); !ok || got != want {
		t.Errorf("%+v, %v", got, ok)
	}
	if text != url.PathEscape(text) {
		t.Errorf("%s can't stand in an address", text)
	}
	for what, bad := range map[string]string{
		"nothing": "", "a point": ".", "no signature": strings.TrimRight(text, "0123456789abcdef"),
		"another's clip": strings.Replace(text, "def", "deg", 1), "later": strings.Replace(text, ".clip.", ".example.", 1),
	} {
		if _, ok := h.Read(bad); ok {
			t.Errorf("%s opens", what)
		}
	}
	if _, ok := signer(now.Add(lasts)).Read(text); ok {
		t.Error("it opens when its time is over")
	}
	if _, ok := signer(now.Add(lasts - time.Second)).Read(text); !ok {
		t.Error("it does not open before")
	}
	other := signer(now)
	other.key = []byte("another")
	if _, ok := other.Read(text); ok {
		t.Error("it opens with another key")
	}
}

// FuzzTicket holds that nothing opens but what was signed.
func FuzzTicket(f *testing.F) {
	h := signer(time.Unix(0, 0))
	f.Add(h.Sign(Ticket{"a", "b", "c"}))
	f.Add("a.b.c.d.e")
	f.Fuzz(func(t *testing.T, text string) {
		if got, ok := h.Read(text); ok && h.Sign(got) != text {
			t.Errorf("%q opens %+v", text, got)
		}
	})
}

// Both pictures of a QR code show the same modules, with the quiet zone of four that
// ISO/IEC 18004 asks for.
func TestQR(t *testing.T) {
	svg, picture, err := QR("https://films.example/s#abcdefghijklmnopqrstuvwxyz")
	if err != nil {
		t.Fatal(err)
	}
	data, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(picture, "data:image/png;base64,"))
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	text, err := url.PathUnescape(strings.TrimPrefix(svg, "data:image/svg+xml,"))
	if err != nil {
		t.Fatal(err)
	}
	side, err := strconv.Atoi(regexp.MustCompile(`viewBox="0 0 (\d+)`).FindStringSubmatch(text)[1])
	if err != nil {
		t.Fatal(err)
	}
	black := make([]bool, side*side)
	n := 0
	for _, m := range regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-`).FindAllStringSubmatch(text, -1) {
		x, _ := strconv.Atoi(m[1])
		y, _ := strconv.Atoi(m[2])
		w, _ := strconv.Atoi(m[3])
		for i := range w {
			black[y*side+x+i] = true
			n++
		}
	}
	scale := img.Bounds().Dx() / side
	if scale < 4 || img.Bounds().Dx() != scale*side || n < side*side/5 {
		t.Fatalf("a picture of %v for %d modules, %d of them black", img.Bounds(), side, n)
	}
	for y := range side {
		for x := range side {
			r, _, _, _ := img.At(x*scale+scale/2, y*scale+scale/2).RGBA()
			if (r < 0x8000) != black[y*side+x] {
				t.Fatalf("module %d,%d differs", x, y)
			}
			if (x < 4 || y < 4 || x >= side-4 || y >= side-4) && black[y*side+x] {
				t.Fatalf("module %d,%d lies in the quiet zone", x, y)
			}
		}
	}
}

func TestOf(t *testing.T) {
	for id, want := range map[string]string{
		"homeworkid-uploadid": "homeworkid", "": "", "homeworkid": "", "../x": "", "homeworkid-upload/../id": "",
		"homeworkid-uploadid.info": "", "homeworkid-uploadid-more": "", "homeworkid-*": "",
	} {
		if got := Of(id); got != want {
			t.Errorf("%q is of %q", id, got)
		}
	}
}
