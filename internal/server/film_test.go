package server

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"image/jpeg"
	"io"
	"net/http"
	"os"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/server/wire"
)

// One bullpen from its film to its clips, by nothing but HTTP.
func TestFilmToClips(t *testing.T) {
	const get, post, patch, del = http.MethodGet, http.MethodPost, http.MethodPatch, http.MethodDelete
	h := filmed(t)
	original, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	truth := drawn.truth
	h.vars["releases"] = fmt.Sprint(truth.Reps[0].Release.Frame)
	for i, r := range truth.Reps {
		h.vars[fmt.Sprintf("release%d", i+1)] = fmt.Sprint(r.Release.Frame)
		h.vars[fmt.Sprintf("drive%d", i+1)] = fmt.Sprint(r.Drive.Frame)
	}
	h.run(t, []exchange{
		{"the film", get, "/api/films/$film", "", 200, fmt.Sprintf(`"frames":%d
			"width":320
			"every":`, truth.Clock.Frames()), nil},
		{"set its view", patch, "/api/films/$film", `{"version":2,"view":"side","slow":1}`, 200, `"view":"side"
			"slowKnown":true`, nil},
		{"set it from an old window", patch, "/api/films/$film", `{"version":2,"view":"behind"}`, 409, "", nil},
		{"no such film", get, "/api/films/nope", "", 404, "", nil},
		{"traces", get, "/api/films/$film/traces?points=64", "", 200, `"motion":{"min":[`, nil},
		{"how she moves, of nothing", get, "/api/bullpens/$pen/moves", "", 200, `"pitches":[]`, nil},
		{"what gives it away, of nothing", get, "/api/bullpens/$pen/tells", "", 200, `"pitches":[]`, nil},
		{"how she moves over the weeks, of nobody", get, "/api/pitchers/nope/moves", "", 404, "", nil},
		{"joints where nobody looked", get, "/api/films/$film/joints?frame=3", "", 200, `"from":0
			"found":false
			"poses":[]`, nil},
		{"joints beyond its end", get, "/api/films/$film/joints?frame=99999999", "", 422, "has no frame", nil},
		{"too many points", get, "/api/films/$film/traces?points=9999999", "", 422, "points", nil},

		{"mark a fastball", post, "/api/bullpens/$pen/reps", `{"filmId":"$film","drive":$drive1,"release":$release1,"reading":{"value":55,"unit":"mph","step":1,"gun":"behind catcher"}}`, 201, `"order":1`, map[string]string{"fb": "rep.id"}},
		{"mark the last", post, "/api/bullpens/$pen/reps", `{"filmId":"$film","release":$release3}`, 201, `"order":2`, map[string]string{"last": "rep.id"}},
		{"mark the change-up between them", post, "/api/bullpens/$pen/reps", `{"filmId":"$film","release":$release2,"pitch":"ch","reading":{"value":45,"unit":"mph","step":1,"gun":"behind catcher"}}`, 201, `"order":2
			"verdict":"in the band"`, map[string]string{"ch": "rep.id"}},
		{"mark past the end", post, "/api/bullpens/$pen/reps", `{"filmId":"$film","release":99999}`, 422, "after the end of the film", nil},
		{"look at the pair", get, "/api/pairs?off=$ch", "", 200, `"fast":{"rep":{"id":"$fb"`, nil},

		{"make the clips", post, "/api/bullpens/$pen/clips", `{"options":{"before":0.6,"after":0.4}}`, 202, `"playable":false
			"repIds":["$fb"]`, map[string]string{"clip": "clips.0.id", "job": "clips.0.jobId"}},
		{"make the pair", post, "/api/pairs", `{"offRepId":"$ch","speed":1,"before":0.6,"after":0.4}`, 202, `"repIds":["$ch","$fb"]`, map[string]string{"pair": "id"}},
		{"windows out of reason", post, "/api/bullpens/$pen/clips", `{"options":{"before":60}}`, 422, "before", nil},
	})
	h.until(t, "/api/bullpens/$pen", func(body string) bool {
		return strings.Count(body, `"playable":true`) == 4
	})
	h.run(t, []exchange{
		{"the clip", get, "/api/clips/$clip", "", 200, `"state":"ready"
			"stale":false
			"releaseSeconds":0.6
			fastball_55mph.mp4`, nil},
		{"its captions", get, "/api/clips/$clip/captions.vtt", "", 200, "WEBVTT", nil},
		{"its subtitles", get, "/api/clips/$clip/captions.srt?download=1", "", 200, "Fastball 55 mph", nil},
		{"a clip that shows nothing new is left alone", post, "/api/bullpens/$pen/clips", `{"options":{"before":0.6,"after":0.4}}`, 202, `"state":"ready"`, nil},
		{"another reading", patch, "/api/reps/$fb", `{"version":1,"reading":{"value":54,"unit":"mph","step":1,"gun":"behind catcher"}}`, 200, "", nil},
		{"makes the clip stale", get, "/api/clips/$clip", "", 200, `"stale":true`, nil},
		{"a job that is done stays done", post, "/api/jobs/$job/cancel", "", 200, `"state":"done"`, nil},
		{"no such clip", get, "/api/clips/nope/file.mp4", "", 404, "", nil},
		{"no proposal to confirm", post, "/api/proposals/nope/confirm", `{"filmId":"$film","release":1}`, 409, "", nil},
		{"no proposal to throw out", post, "/api/proposals/nope/throw-out", "", 404, "", nil},
		{"no proposal to take back", post, "/api/proposals/nope/take-back", "", 404, "", nil},
		{"look for reps", post, "/api/films/$film/find", "", 202, `"kind":"find reps"`, nil},
	})
	t.Run("reps are looked for again", func(t *testing.T) { checkSearches(t, h) })
	t.Run("clock", func(t *testing.T) { checkClock(t, h) })
	t.Run("ranges", func(t *testing.T) { checkRanges(t, h) })
	t.Run("strip", func(t *testing.T) { checkStrip(t, h) })
	t.Run("zip", func(t *testing.T) { checkZip(t, h) })
	t.Run("the same film again", func(t *testing.T) {
		first := h.vars["film"]
		a := h.upload(t, drawn.path, "copy.mp4")
		if a.status != http.StatusOK || !strings.Contains(a.body, `"alreadyThere":true`) || h.vars["film"] != first {
			t.Errorf("answered %d %s", a.status, a.body)
		}
	})
	t.Run("the original is kept to the byte", func(t *testing.T) {
		f, err := h.deps.Store.Film(t.Context(), h.vars["film"])
		if err != nil {
			t.Fatal(err)
		}
		kept, err := h.deps.Blobs.Open(t.Context(), f.Made.Original)
		if err != nil {
			t.Fatal(err)
		}
		defer kept.Close()
		if got, err := io.ReadAll(kept); err != nil || !bytes.Equal(got, original) {
			t.Errorf("%d bytes kept, %d sent, %v", len(got), len(original), err)
		}
	})
	h.run(t, []exchange{
		{"take the clip off the shelf", del, "/api/clips/$clip", "", 200, `"clips":1`, nil},
		{"it is gone", get, "/api/clips/$clip", "", 404, "", nil},
		{"delete the film", del, "/api/films/$film", "", 200, `"films":1
			"clips":3`, nil},
		{"its reps keep their readings", get, "/api/bullpens/$pen", "", 200, `"films":[]
			"value":45`, nil},
		{"count the bullpen", get, "/api/bullpens/$pen/removal", "", 200, `"reps":3`, map[string]string{"confirm": "confirm"}},
		{"delete the bullpen", del, "/api/bullpens/$pen?confirm=$confirm", "", 200, `"reps":3`, nil},
	})
	h.until(t, "/api/jobs", func(body string) bool { return strings.Contains(body, `"jobs":[]`) })
	left, err := h.deps.Blobs.List(t.Context(), "")
	if err != nil || len(left) > 0 {
		t.Errorf("files are left: %v, %v", left, err)
	}
}

// checkSearches changes the marked releases of a film in every way: each time its
// other reps are looked for again, and only then.
func checkSearches(t *testing.T, h *house) {
	idle := func(body string) bool { return strings.Contains(body, `"jobs":[]`) }
	change := func(body string) string {
		t.Helper()
		r, err := h.deps.Store.Rep(t.Context(), h.vars["last"])
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprintf(`{"version":%d,%s}`, r.Version, body)
	}
	release, err := strconv.Atoi(h.vars["release3"])
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, method, path string
		body               string
		searches           int64
	}{
		{"another pitch", http.MethodPatch, "/api/reps/$last", `"pitch":"dr"`, 0},
		{"a release moved, one of three", http.MethodPatch, "/api/reps/$last", fmt.Sprintf(`"release":%d`, release-1), 1},
		{"and back", http.MethodPatch, "/api/reps/$last", fmt.Sprintf(`"release":%d`, release), 1},
		{"a rep deleted", http.MethodDelete, "/api/reps/$last", "", 1},
		{"and restored", http.MethodPost, "/api/reps/$last/restore", "", 1},
	} {
		h.until(t, "/api/jobs", idle)
		before := h.searches.Load()
		if c.method == http.MethodPatch {
			c.body = change(c.body)
		}
		if a := h.send(t, c.method, c.path, c.body); a.status >= 300 {
			t.Fatalf("%s: %d %s", c.name, a.status, a.body)
		}
		h.until(t, "/api/jobs", idle)
		if n := h.searches.Load() - before; n != c.searches {
			t.Errorf("%s: %d searches, want %d", c.name, n, c.searches)
		}
	}
}

func checkClock(t *testing.T, h *house) {
	a := h.ask(t, http.MethodGet, "/api/films/$film/clock", nil)
	var clock wire.Clock
	if err := json.Unmarshal([]byte(a.body), &clock); err != nil {
		t.Fatal(err)
	}
	truth := drawn.truth.Clock
	if len(clock.Ticks) != truth.Frames() || len(clock.Working) != truth.Frames() {
		t.Fatalf("%d ticks, %d in the working copy, want %d", len(clock.Ticks), len(clock.Working), truth.Frames())
	}
	for i := range clock.Ticks {
		at := float64((clock.Ticks[i]-clock.Ticks[0])*clock.Num) / float64(clock.Den)
		if want := truth.FileSeconds(i); at-want > 1e-9 || want-at > 1e-9 {
			t.Fatalf("frame %d is at %v s, want %v", i, at, want)
		}
		if working := float64(clock.Working[i]) / 90000; working-at > 1e-5 || at-working > 1e-5 {
			t.Fatalf("frame %d is at %v s in the working copy, want %v", i, working, at)
		}
	}
}

func checkRanges(t *testing.T, h *house) {
	whole := h.ask(t, http.MethodGet, "/api/films/$film/working.mp4", nil)
	size := len(whole.body)
	if whole.status != http.StatusOK || whole.header.Get("Accept-Ranges") != "bytes" || !strings.HasPrefix(whole.body[4:], "ftyp") {
		t.Fatalf("the whole film: %d, %d bytes, %v", whole.status, size, whole.header)
	}
	for _, c := range []struct {
		header []string
		status int
		body   string
		length string
	}{
		{[]string{"Range", "bytes=0-99"}, 206, whole.body[:100], fmt.Sprintf("bytes 0-99/%d", size)},
		{[]string{"Range", "bytes=-10"}, 206, whole.body[size-10:], fmt.Sprintf("bytes %d-%d/%d", size-10, size-1, size)},
		{[]string{"Range", "bytes=100-"}, 206, whole.body[100:min(size, 100+pieceBytes)], fmt.Sprintf("bytes 100-%d/%d", min(size, 100+pieceBytes)-1, size)},
		{[]string{"Range", fmt.Sprintf("bytes=%d-", size)}, 416, "", fmt.Sprintf("bytes */%d", size)},
		{[]string{"If-None-Match", whole.header.Get("Etag")}, 304, "", ""},
		{[]string{"Range", "bytes=0-9", "If-Range", `"another"`}, 200, whole.body, ""},
	} {
		a := h.ask(t, http.MethodGet, "/api/films/$film/working.mp4", nil, c.header...)
		if a.status != c.status || a.header.Get("Content-Range") != c.length || c.status != 416 && a.body != c.body {
			t.Errorf("%v: %d, %q, %d bytes; want %d, %q, %d bytes", c.header, a.status, a.header.Get("Content-Range"), len(a.body), c.status, c.length, len(c.body))
		}
	}
	clip := h.ask(t, http.MethodGet, "/api/clips/$clip/file.mp4?download=1", nil, "Range", "bytes=0-11")
	if clip.status != http.StatusPartialContent || !strings.Contains(clip.header.Get("Content-Disposition"), "fastball_55mph.mp4") {
		t.Errorf("a clip's range: %d %q", clip.status, clip.header.Get("Content-Disposition"))
	}
}

func checkStrip(t *testing.T, h *house) {
	film := h.ask(t, http.MethodGet, "/api/films/$film", nil)
	count, err := at(film.body, "strip.count")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{0, int(count.(float64)) - 1} {
		a := h.ask(t, http.MethodGet, fmt.Sprintf("/api/films/$film/strip/%d.jpg", n), nil)
		if _, err := jpeg.Decode(strings.NewReader(a.body)); a.status != http.StatusOK || err != nil {
			t.Errorf("picture %d: %d, %v", n, a.status, err)
		}
	}
	for _, name := range []string{fmt.Sprintf("%v.jpg", count), "-1.jpg", "0.png", "x.jpg"} {
		if a := h.ask(t, http.MethodGet, "/api/films/$film/strip/"+name, nil); a.status != http.StatusNotFound {
			t.Errorf("%s: %d", name, a.status)
		}
	}
}

func checkZip(t *testing.T, h *house) {
	a := h.ask(t, http.MethodGet, "/api/bullpens/$pen/clips.zip", nil)
	z, err := zip.NewReader(strings.NewReader(a.body), int64(len(a.body)))
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[string]int{}
	for _, f := range z.File {
		kinds[f.Name[strings.LastIndexByte(f.Name, '.'):]]++
		if strings.Contains(f.Name, "Wren") {
			t.Errorf("%s names the pitcher", f.Name)
		}
	}
	if kinds[".mp4"] != 4 || kinds[".srt"] != 4 || kinds[".csv"] != 1 {
		t.Errorf("the zip holds %v", kinds)
	}
}

func TestFilmsThatCannotBeUsed(t *testing.T) {
	h := newHouse(t)
	h.pen(t)
	put := func(path, body string) answer {
		return h.ask(t, http.MethodPut, path, strings.NewReader(body))
	}
	for _, c := range []struct {
		name, path, body string
		status           int
	}{
		{"empty", "/api/bullpens/$pen/films?name=a.mp4", "", 422},
		{"without a name", "/api/bullpens/$pen/films", "x", 422},
		{"into no bullpen", "/api/bullpens/nope/films?name=a.mp4", "x", 404},
		{"large, into no bullpen", "/api/bullpens/nope/films?name=a.mp4", strings.Repeat("film", 8<<20), 404},
	} {
		if a := put(c.path, c.body); a.status != c.status {
			t.Errorf("%s: %d, want %d: %s", c.name, a.status, c.status, a.body)
		} else {
			checkProblem(t, a)
		}
	}
	a := put("/api/bullpens/$pen/films?name=../../letter.mp4", "Dear coach, this is no film.")
	if a.status != http.StatusCreated || !strings.Contains(a.body, `"name":"letter.mp4"`) {
		t.Fatalf("a letter: %d %s", a.status, a.body)
	}
	h.keep(t, "film", "film.id", a)
	refused := h.until(t, "/api/films/$film", func(body string) bool { return strings.Contains(body, `"state":"refused"`) })
	if sentence, err := at(refused.body, "refusal"); err != nil || !strings.Contains(sentence.(string), "letter.mp4") {
		t.Errorf("refused with %v, %v", sentence, err)
	}
	h.run(t, []exchange{
		{"its clock", "GET", "/api/films/$film/clock", "", 415, "letter.mp4", nil},
		{"home tells of it", "GET", "/api/home", "", 200, `"state":"refused"`, nil},
		{"dismiss it", "DELETE", "/api/films/$film", "", 200, `"films":1`, nil},
		{"home is quiet", "GET", "/api/home", "", 200, `"films":[]`, nil},
	})
	if left, err := h.deps.Blobs.List(t.Context(), ""); err != nil || len(left) > 0 {
		t.Errorf("files are left: %v, %v", left, err)
	}
}
