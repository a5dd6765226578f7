package propose

import (
	"context"
	"testing"

	"tenoff/internal/demo"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// A film slowed four times, of which nothing says so, is asked about before anything
// found on it is sure; once somebody says that it plays as filmed, it is not.
func TestUndeclaredSlowMotionIsAskedAbout(t *testing.T) {
	h := newHouse(t)
	take, err := demo.Plan(demo.Options{Seed: 15, Reps: demo.Series(2, 1, demo.Same, 1), Rest: 4.5, Slow: 4, Pace: demo.FPS(120, 1)})
	if err != nil {
		t.Fatal(err)
	}
	h.truth = take.Truth()
	meter := trace.NewMeter(160, 90, 1)
	if err := take.Gray(context.Background(), 160, 90, func(_ int, seconds float64, pixels []byte) error {
		meter.Add(pixels, seconds)
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	motion, err := meter.Motion().MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	ear := trace.NewEar(24000, 1)
	ear.Add(take.Sound(24000))
	sound, err := ear.Sound().MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	was := h.film.Made
	h.film.Made.Motion, h.film.Made.Sound = was.Motion+"-slow", was.Sound+"-slow"
	if err := h.store.Expect(t.Context(), h.film.Made.Motion, h.film.Made.Sound); err != nil {
		t.Fatal(err)
	}
	h.put(t, h.film.Made.Motion, motion)
	h.put(t, h.film.Made.Sound, sound)
	h.film.Clock = h.truth.Clock
	h.film.Clock.Slow = 1
	if _, err := h.store.FilmRead(t.Context(), h.film, []store.File{{Key: h.film.Made.Motion, Bytes: 1}, {Key: h.film.Made.Sound, Bytes: 1}}); err != nil {
		t.Fatal(err)
	}

	found := h.look(t)
	for _, p := range found {
		if p.Confidence > Sure {
			t.Errorf("sure at frame %d before anybody was asked", p.Release)
		}
	}
	for i, r := range h.truth.Reps {
		if _, d := nearestTo(found, r.Release.Frame); d > 60 {
			t.Errorf("rep %d: nearest proposal is %d frames of 120 a second off", i+1, d)
		}
	}
	f, err := h.store.Film(t.Context(), h.film.ID)
	if err != nil || f.FoundSlow != 4 {
		t.Fatalf("looks %g times slower, %v", f.FoundSlow, err)
	}
	f.SlowKnown = true
	if _, err := h.store.SaveFilm(t.Context(), f.Film); err != nil {
		t.Fatal(err)
	}
	h.look(t)
	if f, err = h.store.Film(t.Context(), h.film.ID); err != nil || f.FoundSlow != 1 {
		t.Errorf("said to play as filmed: looks %g times slower, %v", f.FoundSlow, err)
	}
}
