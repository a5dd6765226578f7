package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"net/http"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

// read is a rep's pitch and reading as a body to send.
func read(rep string) string {
	pitch, value, _ := strings.Cut(rep, ",")
	return `{"pitch":` + pitch + `,"reading":{"value":` + value + `,"unit":"mph","step":1,"gun":"behind catcher"}}`
}

// The first page says of each bullpen what judging it says, of those too that have
// changed a moment ago, and judges no more than a few while it waits.
func TestHomeAtAGlance(t *testing.T) {
	h := newHouse(t)
	for _, name := range []string{"Wren", "Jay", "Lark", "Robin"} {
		h.keep(t, "pen", "id", h.send(t, http.MethodPost, "/api/bullpens", `{"pitcherLabel":"`+name+`"}`))
		for _, r := range []string{`"fb",54`, `"fb",55`, `"ch",45`} {
			if a := h.send(t, http.MethodPost, "/api/bullpens/$pen/reps", read(r)); a.status != http.StatusCreated {
				t.Fatal(a.body)
			}
		}
	}
	home := func() (out wire.Home) {
		t.Helper()
		if err := json.Unmarshal([]byte(h.ask(t, http.MethodGet, "/api/home", nil).body), &out); err != nil {
			t.Fatal(err)
		}
		return out
	}
	counting := 0
	for _, b := range home().Bullpens {
		if b.Counting != (b.Headline == "") {
			t.Errorf("counting %t: %q", b.Counting, b.Headline)
		}
		if b.Counting {
			counting++
		}
	}
	if counting != 4-judgedAtOnce {
		t.Errorf("%d of 4 bullpens are being worked out", counting)
	}
	if all, err := h.deps.Judged.KeepVerdicts(t.Context(), 10); !all || err != nil {
		t.Fatal(all, err)
	}
	now := home()
	for _, b := range now.Bullpens {
		if b.Headline != "So far 1 of 1 about ten off." || b.Counting || b.StillRep != "" || len(b.Target.Shots) != 1 {
			t.Errorf("%+v", b)
		}
	}
	for _, p := range now.Pitchers {
		if p.Target == nil || len(p.Weeks) != 1 || p.Weeks[0].Gap != 9.5 {
			t.Errorf("%s: %+v, %+v", p.Label, p.Target, p.Weeks)
		}
	}
	// A reading that is asked about waits on the first page until it is settled.
	var asked wire.RepChange
	if err := json.Unmarshal([]byte(h.send(t, http.MethodPost, "/api/bullpens/$pen/reps", read(`"ch",84`)).body), &asked); err != nil {
		t.Fatal(err)
	}
	if _, err := h.deps.Judged.KeepVerdicts(t.Context(), 10); err != nil {
		t.Fatal(err)
	}
	if now := home(); len(now.Asked) != 1 || now.Asked[0].PitcherLabel != "Robin" || now.Asked[0].Readings != 1 {
		t.Errorf("asked about: %+v", now.Asked)
	}
	if _, err := h.deps.Store.RemoveRep(t.Context(), asked.Rep.ID, asked.Rep.Version); err != nil {
		t.Fatal(err)
	}
	if now := home(); len(now.Asked) != 0 {
		t.Errorf("of a bullpen that has changed since: %+v", now.Asked)
	}
}

// A still shows the frame of the release, small, and is not made again for who has it.
func TestStill(t *testing.T) {
	h := filmed(t)
	a := h.send(t, http.MethodPost, "/api/bullpens/$pen/reps", `{"pitch":"fb","filmId":"$film","release":60}`)
	if a.status != http.StatusCreated {
		t.Fatal(a.body)
	}
	h.keep(t, "rep", "rep.id", a)
	still := h.ask(t, http.MethodGet, "/api/reps/$rep/still.jpg", nil)
	picture, err := jpeg.Decode(strings.NewReader(still.body))
	if err != nil || picture.Bounds() != image.Rect(0, 0, stillAcross, stillDown) {
		t.Fatalf("%d, %v", still.status, err)
	}
	if bytes.Contains([]byte(still.body), []byte("Exif")) {
		t.Error("a still tells of the phone")
	}
	// The pitcher may be found in the picture between two looks, and the crop then is
	// another one; once.
	var again answer
	for range 2 {
		again = h.ask(t, http.MethodGet, "/api/reps/$rep/still.jpg", nil, "If-None-Match", still.header.Get("Etag"))
		if again.status == http.StatusNotModified {
			break
		}
		still = again
	}
	if again.status != http.StatusNotModified || again.body != "" {
		t.Errorf("asked again: %d, %d bytes", again.status, len(again.body))
	}
	if a := h.send(t, http.MethodPost, "/api/bullpens/$pen/reps", `{"pitch":"fb"}`); a.status == http.StatusCreated {
		h.keep(t, "bare", "rep.id", a)
	}
	if a := h.ask(t, http.MethodGet, "/api/reps/$bare/still.jpg", nil); a.status != http.StatusNotFound {
		t.Errorf("without film: %d", a.status)
	}
}

func TestCropOf(t *testing.T) {
	whole := image.Rect(0, 0, 1280, 720)
	tall := image.Rect(0, 0, 360, 640)
	for _, c := range []struct {
		what    string
		picture image.Rectangle
		box     bullpen.Box
		want    image.Rectangle
	}{
		{"no box", whole, bullpen.Box{}, image.Rect(100, 0, 1180, 720)},
		{"of a tall film", tall, bullpen.Box{}, image.Rect(0, 200, 360, 440)},
		{"a pitcher on the left", whole, bullpen.Box{X: 0, Y: 0.25, Width: 0.25, Height: 0.5}, image.Rect(0, 153, 620, 567)},
		{"who fills the picture", whole, bullpen.Box{Width: 1, Height: 1}, image.Rect(100, 0, 1180, 720)},
	} {
		got := cropOf(c.picture, c.box)
		if got != c.want {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
		if !got.In(c.picture) {
			t.Errorf("%s: %v lies outside", c.what, got)
		}
	}
}

// The first page of an academy of 300 pitchers shows those who threw last and says how many
// more there are; all of them are in a list of its own.
func TestHomeOfManyPitchers(t *testing.T) {
	h := newHouse(t)
	for i := range 300 {
		p, err := h.deps.Store.AddPitcher(t.Context(), bullpen.NewPitcher(fmt.Sprintf("Kit %d", i), bullpen.Levels[0]))
		if err != nil {
			t.Fatal(err)
		}
		if i < homePitchers+6 {
			if _, err := h.deps.Store.AddBullpen(t.Context(), bullpen.Bullpen{PitcherID: p.ID, Day: fmt.Sprintf("2026-03-%02d", i+1), Unit: bullpen.MPH}, true); err != nil {
				t.Fatal(err)
			}
		}
	}
	var home wire.Home
	if err := json.Unmarshal([]byte(h.ask(t, http.MethodGet, "/api/home", nil).body), &home); err != nil {
		t.Fatal(err)
	}
	if len(home.Pitchers) != homePitchers || home.MorePitchers != 300-homePitchers {
		t.Errorf("%d pitchers and %d more, want %d and %d", len(home.Pitchers), home.MorePitchers, homePitchers, 300-homePitchers)
	}
	for i, p := range home.Pitchers {
		if p.LastDay < "2026-03-07" {
			t.Errorf("%s, who threw on %q, is among those who threw last", p.Label, p.LastDay)
		}
		if i > 0 && p.Label < home.Pitchers[i-1].Label {
			t.Errorf("%s stands behind %s", p.Label, home.Pitchers[i-1].Label)
		}
	}
	var all wire.PitcherList
	if err := json.Unmarshal([]byte(h.ask(t, http.MethodGet, "/api/pitchers", nil).body), &all); err != nil || len(all.Pitchers) != 300 {
		t.Errorf("the list has %d pitchers, %v", len(all.Pitchers), err)
	}
}
