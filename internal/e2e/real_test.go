package e2e

import (
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

// realFilms lists films of real throws: those in the folder that TENOFF_REAL_CLIPS
// names, or in a folder beside the checkout. None of them can be part of it.
func realFilms(t *testing.T) []string {
	t.Helper()
	dir, named := os.LookupEnv("TENOFF_REAL_CLIPS")
	if !named {
		dir = filepath.Join("..", "..", "..", "shared", "clips")
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		if named {
			t.Fatal(err)
		}
		t.Skip("no real films here: TENOFF_REAL_CLIPS names a folder that has some")
	}
	var films []string
	for _, e := range entries {
		if slices.Contains([]string{".mp4", ".mov", ".avi", ".mkv", ".webm"}, strings.ToLower(filepath.Ext(e.Name()))) {
			films = append(films, filepath.Join(dir, e.Name()))
		}
	}
	if len(films) == 0 {
		t.Fatalf("no film lies in %s", dir)
	}
	return films
}

// The whole job on films that were not generated.
func TestRealFilms(t *testing.T) {
	films := realFilms(t)
	p := serve(t, t.TempDir())
	for _, path := range films {
		t.Run(filepath.Base(path), func(t *testing.T) {
			pen, film := p.begin(t, path)
			t.Logf("%d frames, %.2f s, %dx%d %s, sound %v", film.Frames, film.Seconds, film.Width, film.Height, film.Codec, film.HasSound)
			var clock wire.Clock
			p.must(t, http.MethodGet, "/api/films/"+film.ID+"/clock", nil, &clock)
			if len(clock.Ticks) != film.Frames || !slices.IsSorted(clock.Ticks) || film.Strip == nil || film.Strip.Count == 0 {
				t.Errorf("clock of %d ticks, strip %+v", len(clock.Ticks), film.Strip)
			}
			reps := []wire.NewRep{
				{FilmID: film.ID, Release: new(film.Frames / 3), Reading: gun(55)},
				{FilmID: film.ID, Release: new(2 * film.Frames / 3), Reading: gun(45), Pitch: bullpen.ChangeUp},
			}
			var off wire.RepChange
			for _, r := range reps {
				p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", r, &off)
			}
			if off.Rep.Judged.Verdict != bullpen.InBand {
				t.Errorf("10 off is %q", off.Rep.Judged.Verdict)
			}
			p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/clips", wire.NewClips{}, nil)
			p.must(t, http.MethodPost, "/api/pairs", wire.NewPair{OffRepID: off.Rep.ID, Speed: 0.5}, nil)
			var sheet wire.Sheet
			p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return finished(t, sheet.Clips) })
			if len(sheet.Clips) != 3 {
				t.Errorf("%d clips, want 3", len(sheet.Clips))
			}
		})
	}
}

func gun(mph float64) *wire.Reading {
	return &wire.Reading{Value: mph, Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher}
}
