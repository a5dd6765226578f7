package e2e

import (
	"fmt"
	"math"
	"net/http"
	"path/filepath"
	"slices"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
)

// draw makes a small film with known truth: fast fastballs and change-ups in turn.
func draw(t *testing.T, fast, off int) (path string, truth demo.Truth) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "drawn.mp4")
	truth, err := demo.Write(t.Context(), demo.Options{
		Seed: 5, Width: 320, Height: 180, Pace: demo.Uneven(30, 1), Rest: 4.6, Steady: true, Lead: 1.5, Tail: 1.2,
		Reps: demo.Series(fast, off, demo.Same, 1), PlainStage: true,
	}, path)
	if err != nil {
		t.Fatal(err)
	}
	return path, truth
}

// begin starts a bullpen and sends a film into it; it returns when that was read.
func (p *program) begin(t testing.TB, path string) (pen wire.Bullpen, film wire.Film) {
	t.Helper()
	p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)
	film = p.send(t, pen.ID, path)
	if film.State == bullpen.FilmRefused {
		t.Fatalf("%s was refused: %s", path, film.Refusal)
	}
	return pen, film
}

// send sends a film and waits until it was read or refused.
func (p *program) send(t testing.TB, penID, path string) wire.Film {
	t.Helper()
	var film wire.Film
	p.until(t, "/api/films/"+p.put(t, penID, path).ID, &film, func() bool { return film.State != bullpen.FilmReading })
	return film
}

// looked says whether reps are proposed by the pictures: what the sound alone proposed
// before gives way to them.
func looked(sheet wire.Sheet) bool {
	return len(sheet.Proposals) > 0 && !slices.ContainsFunc(sheet.Proposals, func(p wire.Proposal) bool { return p.Reason == "by sound so far" })
}

// From a film to numbers and clips, then all of it again tomorrow.
func TestBullpenFromFilmToClips(t *testing.T) {
	path, truth := draw(t, 2, 2)
	data := t.TempDir()
	p := serve(t, data)
	pen, film := p.begin(t, path)
	if film.Frames != truth.Clock.Frames() {
		t.Fatalf("%d frames read, %d drawn", film.Frames, truth.Clock.Frames())
	}

	for _, r := range truth.Reps {
		frame := r.Release.Frame
		var change wire.RepChange
		p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{FilmID: film.ID, Release: &frame, Pitch: r.Pitch}, &change)
	}
	var pairs wire.ReadingPairs
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/readings", wire.Readings{Text: "56 fb 47 ch 54 fb 44 ch"}, &pairs)
	if !pairs.Saved || pairs.Matched != 4 {
		t.Fatalf("readings: %+v", pairs)
	}

	var sheet wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
	checkNumbers(t, sheet)

	var queued wire.ClipList
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/clips", wire.NewClips{Options: wire.ClipOptions{Before: 0.8, After: 0.5}}, &queued)
	var pair wire.Clip
	p.must(t, http.MethodPost, "/api/pairs", wire.NewPair{OffRepID: sheet.Reps[1].ID, Before: 0.8, After: 0.5}, &pair)
	p.until(t, "/api/bullpens/"+pen.ID, &sheet, func() bool { return finished(t, sheet.Clips) })
	if len(sheet.Clips) != 5 {
		t.Fatalf("%d clips, want 5", len(sheet.Clips))
	}

	p.stop(t)
	p = serve(t, data)
	var again wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &again)
	checkNumbers(t, again)
	for i, c := range again.Clips {
		if c.State != "ready" || c.Stale || c.Edition != sheet.Clips[i].Edition {
			t.Errorf("clip %s is %s, stale %v after a restart", c.FileName, c.State, c.Stale)
		}
		if status, film, err := p.try(t.Context(), http.MethodGet, "/api/clips/"+c.ID+"/file.mp4", nil); status != http.StatusOK || err != nil || int64(len(film)) != c.Bytes {
			t.Errorf("clip %s: %d, %d bytes of %d, %v", c.FileName, status, len(film), c.Bytes, err)
		}
	}
}

// finished reports whether no clip is still being made; none may fail.
func finished(t *testing.T, clips []wire.Clip) bool {
	t.Helper()
	done := true
	for _, c := range clips {
		if c.State == "failed" {
			t.Fatalf("clip %s failed: %s", c.FileName, c.Problem)
		}
		done = done && c.State == "ready"
	}
	return done
}

// checkNumbers: fastballs of 56 and 54 make a baseline of 55, under which 47 is 8
// and 44 is 11 off, in the tenths that are shown, for two fastballs say next to nothing
// of how she changed while she threw; both lie in the band of 8 to 12.
func checkNumbers(t *testing.T, sheet wire.Sheet) {
	t.Helper()
	for i, want := range []float64{math.NaN(), 8, math.NaN(), 11} {
		j := sheet.Reps[i].Judged
		switch {
		case math.IsNaN(want):
			if j.Gap != nil {
				t.Errorf("fastball %d has a gap of %v", i+1, *j.Gap)
			}
		case j.Gap == nil || math.Abs(j.Gap.MPH-want) > 0.05 || j.Verdict != bullpen.InBand:
			t.Errorf("rep %d: gap %s, %q; want %v, in the band", i+1, gapText(j.Gap), j.Verdict, want)
		}
	}
}

func gapText(g *wire.Gap) string {
	if g == nil {
		return "none"
	}
	return fmt.Sprint(g.MPH)
}
