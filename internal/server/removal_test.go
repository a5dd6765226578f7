package server

import (
	"bytes"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tenoff/internal/server/wire"
)

// A pitcher who is deleted is gone soon after: her name is in no file of the data folder, not in
// the database's free pages or its log, not in a copy of it, not in an upload.
func TestNothingIsLeftOfADeletedPitcher(t *testing.T) {
	const name = "Zephyrine"
	h := newHouse(t)
	h.keep(t, "her", "id", h.send(t, "POST", "/api/pitchers", `{"label":"`+name+`"}`))
	h.keep(t, "workout", "id", h.send(t, "POST", "/api/workouts", twoSets))
	h.send(t, "POST", "/api/pitchers/$her/consents", `{"guardian":"`+name+`'s mother","given":"2026-05-01","covers":"homework films","for":["homework","results","examples"]}`)
	a := h.send(t, "POST", "/api/homework", `{"pitcherId":"$her","workoutId":"$workout"}`)
	h.keep(t, "hw", "id", a)
	h.keep(t, "pen", "bullpenId", a)
	h.slip(t, `{}`)
	at := h.begin(t, name+" late.mp4", 100).header.Get("Location")
	h.goOn(t, at, 0, []byte(name))
	if a := h.upload(t, drawn.path, name+".mp4"); a.status != http.StatusCreated {
		t.Fatalf("upload: %d %s", a.status, a.body)
	}
	h.until(t, "/api/films/$film", func(body string) bool { return strings.Contains(body, `"state":"ready"`) })
	letter := filepath.Join(t.TempDir(), "letter")
	if err := os.WriteFile(letter, []byte("no film"), 0o600); err != nil {
		t.Fatal(err)
	}
	h.upload(t, letter, name+"-letter.mp4")
	h.until(t, "/api/films/$film", func(body string) bool { return strings.Contains(body, `"state":"refused"`) })
	for i := range 30 {
		h.send(t, "POST", "/api/bullpens/$pen/reps", fmt.Sprintf(`{"note":"%s, %d","reading":{"value":55,"unit":"mph","step":1,"gun":"behind catcher"}}`, name, i))
	}
	h.send(t, "PUT", "/api/homework/$hw/reply", `{"version":1,"words":"Good, `+name+`."}`)
	// As a step of the schema leaves it.
	if err := h.deps.Store.CopyTo(t.Context(), filepath.Join(h.dir, "before-schema-9.db")); err != nil {
		t.Fatal(err)
	}
	if got := holding(t, h.dir, name); len(got) < 4 {
		t.Fatalf("her name is only in %v: this test shows nothing", got)
	}
	h.keep(t, "confirm", "confirm", h.ask(t, "GET", "/api/pitchers/$her/removal", nil))
	if a := h.ask(t, "DELETE", "/api/pitchers/$her?confirm=$confirm", nil); a.status != http.StatusOK {
		t.Fatalf("deleting: %d %s", a.status, a.body)
	}
	for began := time.Now(); len(holding(t, h.dir, name)) > 0; time.Sleep(50 * time.Millisecond) {
		if time.Since(began) > time.Minute {
			t.Fatalf("left in %v", holding(t, h.dir, name))
		}
	}
}

// holding lists the files under dir that have a word in their names or in them.
func holding(t *testing.T, dir, word string) (names []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if n := bytes.Count(data, []byte(word)); n > 0 || strings.Contains(d.Name(), word) {
			names = append(names, fmt.Sprintf("%s (%d times)", d.Name(), n))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// Readings from the field are named, and confirmed like all else.
func TestReadingsFromTheFieldAreCounted(t *testing.T) {
	some := wire.Removed{Typed: 2}
	if said := counted(some); said != "2 readings from the field" {
		t.Errorf("said %q", said)
	}
	if confirmation(some) == confirmation(wire.Removed{}) {
		t.Error("what confirms nothing confirms two readings")
	}
}
