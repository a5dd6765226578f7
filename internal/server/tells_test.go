package server

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/posture"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
	"tenoff/internal/texts"
)

// Rendered deliveries on whose films joints were found, all on one film: twelve fastballs
// and among them five change-ups on which her trunk leans ten degrees more over the front
// leg from 0.35 s before release on. The page says so, no more than half a second before,
// and her report in her language too.
func TestTells(t *testing.T) {
	h := newHouse(t)
	const apart = 200 // frames from one delivery to the next
	var releases map[string]float64
	text, err := os.ReadFile("../../testdata/tells/releases.json")
	if err == nil {
		err = json.Unmarshal(text, &releases)
	}
	if err != nil {
		t.Fatal(err)
	}
	level, _ := bullpen.LevelOf("14U")
	wren := bullpen.NewPitcher("Wren", level)
	_, pen, err := h.deps.Store.AddBullpenFor(t.Context(), wren, bullpen.Bullpen{Day: "2026-05-01", Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}, true)
	if err != nil {
		t.Fatal(err)
	}
	names := make([]string, 0, len(releases))
	for name := range releases {
		names = append(names, name)
	}
	// Mixed: "01" of both, "02" of both ...
	slices.SortFunc(names, func(a, b string) int {
		return strings.Compare(a[len(a)-2:]+a, b[len(b)-2:]+b)
	})
	film := store.Film{
		Film: bullpen.Film{ID: store.NewFilmID(), BullpenID: pen.ID, Name: "pen.mp4", SHA256: "00", State: bullpen.FilmReading, View: bullpen.ViewSide, Width: 640, Height: 400, Clock: bullpen.Clock{Num: 1, Den: 60}},
	}
	film.Made.Original = "films/" + film.ID + "/original"
	for i := range apart * len(names) {
		film.Clock.Ticks = append(film.Clock.Ticks, int64(i))
	}
	if err := h.deps.Store.Expect(t.Context(), film.Made.Original); err != nil {
		t.Fatal(err)
	}
	clock := film.Clock
	if film, _, err = h.deps.Store.AddFilm(t.Context(), film, store.NewJob{Kind: "none"}); err != nil {
		t.Fatal(err)
	}
	film.Clock = clock
	if _, err := h.deps.Store.FilmRead(t.Context(), film, nil); err != nil {
		t.Fatal(err)
	}
	for i, name := range names {
		packed, err := os.ReadFile(filepath.Join("../../testdata/tells", name+".track"))
		if err != nil {
			t.Fatal(err)
		}
		track, err := posture.Unpack(packed, clock)
		if err != nil {
			t.Fatal(err)
		}
		first := i * apart
		for k := range track {
			track[k].Frame += first
			track[k].Seconds = clock.RealSeconds(0, track[k].Frame)
		}
		if err := h.deps.Store.KeepJoints(t.Context(), store.Joints{FilmID: film.ID, First: track[0].Frame, Last: track[len(track)-1].Frame, Version: 1, Poses: track.Pack()}, film.Box); err != nil {
			t.Fatal(err)
		}
		rep := bullpen.Rep{BullpenID: pen.ID, FilmID: film.ID, Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Pitch: bullpen.Fastball, Reading: &bullpen.Reading{Value: 55, Unit: bullpen.MPH}}
		rep.Release = first + int(math.Round(60*releases[name]))
		if strings.HasPrefix(name, "lean10") {
			rep.Pitch, rep.Reading = bullpen.ChangeUp, &bullpen.Reading{Value: 45, Unit: bullpen.MPH}
		}
		if _, _, err := h.deps.Store.AddRep(t.Context(), rep); err != nil {
			t.Fatal(err)
		}
	}
	got := h.ask(t, "GET", "/api/bullpens/"+pen.ID+"/tells", nil)
	var list wire.TellsList
	if err := json.Unmarshal([]byte(got.body), &list); err != nil || got.status != 200 || len(list.Pitches) != 1 {
		t.Fatalf("%d %s, %v", got.status, got.body, err)
	}
	p := list.Pitches[0]
	if len(p.Tells) == 0 {
		t.Fatalf("nobody says that she leans: %+v", p)
	}
	x := p.Tells[0]
	var before float64
	if _, err := fmt.Sscanf(x.Sentence, "First seen %f s before release", &before); err != nil || before < 0.12 || before > 0.39 || !strings.Contains(x.Sentence, ": her trunk leans further forward, by about ") {
		t.Errorf("said first: %q", x.Sentence)
	}
	if x.On != "It shows on 5 of 5 change-ups and on 0 of 12 fastballs." || len(x.Fast) != posture.Joints || len(x.Off) != posture.Joints || !slices.Contains(x.Lit, int(posture.LeftShoulder)) {
		t.Errorf("%+v", x)
	}
	told := h.ask(t, "GET", "/api/bullpens/"+pen.ID+"/told?language=es", nil)
	if !strings.Contains(told.body, "antes de que sueltes la bola: tu tronco va más inclinado hacia adelante.") {
		t.Errorf("her report says %s", told.body)
	}

	// The answer to a homework keeps the same for her page, in both languages.
	kept, err := h.server.toldToHer(t.Context(), pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	sent := bullpen.Homework{Sent: bullpen.Reply{SentAt: 1, Shown: &bullpen.Shown{Told: kept}}}
	for l, want := range map[texts.Language][2]string{
		texts.English: {"On your change-ups your upper body leans ", "before you let go: your upper body leans further forward."},
		texts.Spanish: {"En tus cambios el tronco se inclina ", "antes de que sueltes la bola: tu tronco va más inclinado hacia adelante."},
	} {
		answer, err := h.server.slipAnswer(t.Context(), homework.Pass{Homework: sent}, wren, l)
		if err != nil || !strings.HasPrefix(answer.Moves, want[0]) || !strings.Contains(answer.Tell, want[1]) {
			t.Errorf("%s: her page says %+v, %v", l, answer, err)
		}
	}
}
