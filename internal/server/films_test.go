package server

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// Films of which not all say when they were filmed lie by their names, and it is asked
// whether that is right until somebody says so.
func TestTheFilmsOrderIsAsked(t *testing.T) {
	h := newHouse(t)
	h.pen(t)
	var ids []string
	for _, name := range []string{"b.mp4", "a.mp4"} {
		f, _, err := h.deps.Store.AddFilm(t.Context(), store.Film{Film: bullpen.Film{
			ID: store.NewFilmID(), BullpenID: h.vars["pen"], Name: name, SHA256: name, State: bullpen.FilmReading, Width: 640,
			Clock: bullpen.Clock{Num: 1, Den: 1, Slow: 1, Ticks: []int64{0, 1}},
		}}, store.NewJob{Kind: "read film"})
		if err != nil {
			t.Fatal(err)
		}
		f.Width, f.Clock = 640, bullpen.Clock{Num: 1, Den: 1, Slow: 1, Ticks: []int64{0, 1}}
		if _, err := h.deps.Store.FilmRead(t.Context(), f, nil); err != nil {
			t.Fatal(err)
		}
		ids = append(ids, f.ID)
	}
	asks := func() (bool, []string) {
		t.Helper()
		var sheet wire.Sheet
		if err := json.Unmarshal([]byte(h.ask(t, http.MethodGet, "/api/bullpens/$pen", nil).body), &sheet); err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, f := range sheet.Films {
			names = append(names, f.Name)
		}
		return sheet.AskOrder, names
	}
	if asked, names := asks(); !asked || fmt.Sprint(names) != "[a.mp4 b.mp4]" {
		t.Errorf("asked %v of %v", asked, names)
	}
	f, err := h.deps.Store.Film(t.Context(), ids[1])
	if err != nil {
		t.Fatal(err)
	}
	h.send(t, http.MethodPatch, "/api/films/"+f.ID, fmt.Sprintf(`{"version":%d,"position":0}`, f.Version)) // where it is
	if asked, names := asks(); asked || fmt.Sprint(names) != "[a.mp4 b.mp4]" {
		t.Errorf("asked again %v of %v", asked, names)
	}
}

// A film that can't be stepped yet says why, once it was looked at.
func TestWhyAFilmOpensLate(t *testing.T) {
	film := func(codec string, width int, hdr, opened bool, state bullpen.FilmState) store.Film {
		f := store.Film{Film: bullpen.Film{Codec: codec, Width: width, HDR: hdr, State: state}, Made: store.FilmFiles{Opened: opened}}
		if opened {
			f.Clock = bullpen.Clock{Num: 1, Den: 30, Slow: 1, Ticks: []int64{0, 1}}
		}
		return f
	}
	known := func(f store.Film) store.Film {
		f.Clock = bullpen.Clock{Num: 1, Den: 30, Slow: 1, Ticks: []int64{0, 1}}
		return f
	}
	for name, c := range map[string]struct {
		film  store.Film
		alone bool
		want  string
	}{
		"HEVC":                       {known(film("hevc", 1920, false, false, bullpen.FilmReading)), true, "first seconds"},
		"HEVC, one of many programs": {known(film("hevc", 1920, false, false, bullpen.FilmReading)), false, "when it has been read; on the machine that reads it, sooner"},
		"packed anew":                {film("h264", 1920, false, false, bullpen.FilmReading), true, "when it has been read"},
		"H.264":                      {film("h264", 1920, false, true, bullpen.FilmReading), true, ""},
		"not looked at":              {film("", 0, false, false, bullpen.FilmReading), true, ""},
		"HEVC, read":                 {film("hevc", 1920, false, true, bullpen.FilmReady), true, ""},
		"HEVC, not a film":           {film("hevc", 1920, false, false, bullpen.FilmRefused), true, ""},
	} {
		got := waits(c.film, c.alone)
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q", name, got)
		}
	}
}

// What is said of one film for all is one change: it is stored of all of them, or of
// none.
func TestWhatIsSaidOfAllFilmsIsOneChange(t *testing.T) {
	h := newHouse(t)
	h.pen(t)
	var films []store.Film
	for i := range 3 {
		id := store.NewFilmID()
		f := store.Film{
			Film: bullpen.Film{ID: id, BullpenID: h.vars["pen"], Name: fmt.Sprintf("%d.mp4", i), SHA256: fmt.Sprint(i), State: bullpen.FilmReading},
			Made: store.FilmFiles{Original: "films/" + id + "/original"},
		}
		if err := h.deps.Store.Expect(t.Context(), f.Made.Original); err != nil {
			t.Fatal(err)
		}
		f, _, err := h.deps.Store.AddFilm(t.Context(), f, store.NewJob{Kind: "none"})
		if err != nil {
			t.Fatal(err)
		}
		films = append(films, f)
	}
	said := func() (out []string, revision int64) {
		list, err := h.deps.Store.Films(t.Context(), h.vars["pen"])
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range list {
			out = append(out, fmt.Sprintf("%s %g %t %d", f.View, f.Clock.Slow, f.SlowKnown, f.Version))
		}
		if _, revision, err = h.deps.Store.Bullpen(t.Context(), h.vars["pen"]); err != nil {
			t.Fatal(err)
		}
		return out, revision
	}
	before, revision := said()

	// The last film can't be stored.
	db, err := sql.Open("sqlite3", filepath.Join(h.dir, store.Database))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.ExecContext(t.Context(), `CREATE TRIGGER full BEFORE UPDATE OF view ON films WHEN old.id = '`+films[2].ID+`' BEGIN SELECT RAISE(ABORT, 'full'); END`); err != nil {
		t.Fatal(err)
	}
	h.vars["first"] = films[0].ID
	const all = `{"version":1,"slow":4,"view":"behind","all":true}`
	if a := h.send(t, http.MethodPatch, "/api/films/$first", all); a.status < 400 {
		t.Errorf("the last film can't be stored: %d %s", a.status, a.body)
	}
	if now, _ := said(); strings.Join(now, ", ") != strings.Join(before, ", ") {
		t.Errorf("part of a change that failed is stored: %q, before it %q", now, before)
	}
	if _, err := db.ExecContext(t.Context(), `DROP TRIGGER full`); err != nil {
		t.Fatal(err)
	}
	if a := h.send(t, http.MethodPatch, "/api/films/$first", all); a.status != http.StatusOK {
		t.Errorf("%d %s", a.status, a.body)
	}
	now, then := said()
	for i, f := range now {
		if f != "behind 4 true 2" {
			t.Errorf("film %d: %s", i, f)
		}
	}
	if then != revision+1 {
		t.Errorf("the bullpen went from revision %d to %d", revision, then)
	}
}
