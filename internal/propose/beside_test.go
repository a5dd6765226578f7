package propose

import (
	"context"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// A release marked on one film brings that on the bullpen's other film from the same
// place to within a frame, though nothing is marked there; when the mark goes, what it told
// goes too.
func TestMarkReachesTheOtherFilms(t *testing.T) {
	h := newHouse(t)
	take, err := demo.Plan(demo.Options{Seed: 5, Reps: demo.Series(4, 3, demo.Same, 1), Rest: 5, Pace: demo.FPS(30, 1)})
	if err != nil {
		t.Fatal(err)
	}
	// The other film is of the fourth pitch alone, trimmed close.
	release := take.Truth().Reps[3].Release
	from, to := release.Frame-20, release.Frame+6
	other := store.Film{
		Film: bullpen.Film{ID: store.NewFilmID(), BullpenID: h.pen.ID, Name: "one.mp4", SHA256: "01", State: bullpen.FilmReading,
			Clock: bullpen.Clock{Num: 1, Den: 30, Slow: 1}},
	}
	meter := trace.NewMeter(160, 90, 1)
	if err := take.Gray(context.Background(), 160, 90, func(i int, _ float64, pixels []byte) error {
		if i >= from && i <= to {
			other.Clock.Ticks = append(other.Clock.Ticks, int64(i-from))
			meter.Add(pixels, float64(i-from)/30)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	motion, err := meter.Motion().MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	other.Made = store.FilmFiles{Original: "films/" + other.ID + "/original", Motion: "films/" + other.ID + "/motion"}
	h.put(t, other.Made.Motion, motion)
	if err := h.store.Expect(t.Context(), other.Made.Original, other.Made.Motion); err != nil {
		t.Fatal(err)
	}
	clock := other.Clock
	if other, _, err = h.store.AddFilm(t.Context(), other, store.NewJob{Kind: "none"}); err != nil {
		t.Fatal(err)
	}
	other.Clock, other.Made.Motion = clock, "films/"+other.ID+"/motion"
	if _, err := h.store.FilmRead(t.Context(), other, []store.File{{Key: other.Made.Motion, Bytes: 1}}); err != nil {
		t.Fatal(err)
	}

	rep := h.truth.Reps[0].Rep(h.film.ID)
	rep.BullpenID = h.pen.ID
	rep, _, err = h.store.AddRep(t.Context(), rep)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range h.look(t) {
		if p.FilmID == other.ID {
			t.Error("a look at one film writes what it saw of another, which may have changed meanwhile")
		}
	}
	if looks := h.lookAtQueued(t, other.ID); looks != 1 {
		t.Fatalf("%d looks at the other film are queued", looks)
	}
	proposed, err := h.store.Proposals(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	seen := false
	for _, p := range proposed {
		if p.FilmID != other.ID {
			continue
		}
		seen = true
		if d := p.Release - (release.Frame - from); d < -1 || d > 1 || p.Confidence <= Sure || p.Rough {
			t.Errorf("the other film's release is %d frames late, confidence %.2f, rough: %v", d, p.Confidence, p.Rough)
		}
	}
	if !seen {
		t.Error("nothing is proposed on the other film")
	}

	// The mark goes again.
	if _, err := h.store.RemoveRep(t.Context(), rep.ID, rep.Version); err != nil {
		t.Fatal(err)
	}
	h.look(t)
	if looks := h.lookAtQueued(t, other.ID); looks != 1 {
		t.Fatalf("without the mark %d looks at the other film are queued", looks)
	}
	if proposed, err = h.store.Proposals(t.Context(), h.pen.ID); err != nil {
		t.Fatal(err)
	}
	for _, p := range proposed {
		if p.FilmID == other.ID && (!p.Rough || p.Confidence > Sure) {
			t.Errorf("without the mark the other film still has a release with confidence %.2f, rough: %v", p.Confidence, p.Rough)
		}
	}
	if n := h.lookAtQueued(t, other.ID) + h.lookAtQueued(t, h.film.ID); n != 0 {
		t.Errorf("the looks go round: %d more", n)
	}
}

// lookAtQueued does the looks at a film that are queued, and says how many they were;
// those at others were done, see look.
func (h house) lookAtQueued(t *testing.T, filmID string) int {
	t.Helper()
	looks := 0
	for {
		job, ok, err := h.store.ClaimJob(t.Context(), []string{Kind}, time.Hour)
		if err != nil {
			t.Fatal(err)
		}
		if !ok {
			return looks
		}
		if job.Subject == filmID {
			looks++
			if err := h.scout.FindReps(t.Context(), job, func(float64) {}); err != nil {
				t.Fatal(err)
			}
		}
		if err := h.store.EndJob(t.Context(), job.ID, job.Attempts, store.JobDone, ""); err != nil {
			t.Fatal(err)
		}
	}
}
