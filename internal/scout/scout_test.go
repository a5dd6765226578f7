package scout

import (
	"bytes"
	"context"
	"math"
	"testing"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// house is a store with one bullpen and one film that was read.
type house struct {
	store *store.Store
	scout *Scout
	pen   bullpen.Bullpen
	film  store.Film
	truth demo.Truth
}

func newHouse(t *testing.T) house {
	t.Helper()
	ctx := t.Context()
	dir := t.TempDir()
	s, err := store.Open(ctx, dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	blobs, err := blob.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { blobs.Close() })

	take, err := demo.Plan(demo.Options{Seed: 5, Reps: demo.Series(4, 3, demo.Same, 1), Rest: 5, Pace: demo.FPS(30, 1)})
	if err != nil {
		t.Fatal(err)
	}
	h := house{store: s, scout: New(s, blobs, nil, nil), truth: take.Truth()}
	meter := trace.NewMeter(160, 90, 1)
	if err := take.Gray(ctx, 160, 90, func(_ int, seconds float64, pixels []byte) error {
		meter.Add(pixels, seconds)
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	ear := trace.NewEar(24000, 1)
	ear.Add(take.Sound(24000))

	level, _ := bullpen.LevelOf("14U")
	_, h.pen, err = s.AddBullpenFor(ctx, bullpen.NewPitcher("Wren", level), bullpen.Bullpen{Day: "2026-05-01", Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}, true)
	if err != nil {
		t.Fatal(err)
	}
	id := store.NewFilmID()
	h.film = store.Film{
		Film: bullpen.Film{ID: id, BullpenID: h.pen.ID, Name: "pen.mp4", SHA256: "00", State: bullpen.FilmReading, Clock: h.truth.Clock},
		Made: store.Made{Original: "films/" + id + "/original", Motion: "films/" + id + "/motion", Sound: "films/" + id + "/sound"},
	}
	put := func(key string, m interface{ MarshalBinary() ([]byte, error) }) {
		data, err := m.MarshalBinary()
		if err == nil {
			_, err = blobs.Put(ctx, key, bytes.NewReader(data))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	put(h.film.Made.Motion, meter.Motion())
	put(h.film.Made.Sound, ear.Sound())
	if err := s.Expect(ctx, h.film.Made.Original, h.film.Made.Motion, h.film.Made.Sound); err != nil {
		t.Fatal(err)
	}
	if h.film, _, err = s.AddFilm(ctx, h.film, store.NewJob{Kind: "none"}); err != nil {
		t.Fatal(err)
	}
	h.film.Clock = h.truth.Clock
	h.film.Made.Motion, h.film.Made.Sound = "films/"+id+"/motion", "films/"+id+"/sound"
	if _, err := s.FilmRead(ctx, h.film, []store.File{{Key: h.film.Made.Motion, Bytes: 1}, {Key: h.film.Made.Sound, Bytes: 1}}); err != nil {
		t.Fatal(err)
	}
	return h
}

func (h house) look(t *testing.T) []store.Proposal {
	t.Helper()
	job, err := h.scout.Look(t.Context(), h.film.ID)
	if err != nil {
		t.Fatal(err)
	}
	if err := h.scout.FindReps(t.Context(), job, func(float64) {}); err != nil {
		t.Fatal(err)
	}
	all, err := h.store.Proposals(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// nearestTo returns the open proposal nearest to a true release, in frames.
func nearestTo(all []store.Proposal, frame int) (store.Proposal, int) {
	best, least := store.Proposal{}, math.MaxInt
	for _, p := range all {
		if d := max(p.Release-frame, frame-p.Release); p.State == store.ProposalOpen && p.Reason != Unexplained && d < least {
			best, least = p, d
		}
	}
	return best, least
}

func TestFindsRepsAndCarriesAReleaseOver(t *testing.T) {
	h := newHouse(t)
	rough := h.look(t)
	for i, r := range h.truth.Reps {
		if p, d := nearestTo(rough, r.Release.Frame); d > 10 || p.Confidence <= Sure {
			t.Errorf("rep %d: nearest proposal is %d frames off, confidence %.2f", i+1, d, p.Confidence)
		}
	}

	// One release confirmed on its true frame: the others must follow.
	first, _ := nearestTo(rough, h.truth.Reps[0].Release.Frame)
	rep := h.truth.Reps[0].Rep(h.film.ID)
	rep.BullpenID = h.pen.ID
	if _, _, err := h.store.Confirm(t.Context(), first.ID, rep); err != nil {
		t.Fatal(err)
	}
	fine := h.look(t)
	for i, r := range h.truth.Reps[1:] {
		if _, d := nearestTo(fine, r.Release.Frame); d > 1 {
			t.Errorf("rep %d: release %d frames off although one was marked", i+2, d)
		}
	}
	if _, d := nearestTo(fine, h.truth.Reps[0].Release.Frame); d < nearFrames(h.truth.Clock) {
		t.Error("the confirmed rep is proposed again")
	}

	// What was thrown out stays out.
	gone, _ := nearestTo(fine, h.truth.Reps[2].Release.Frame)
	if _, err := h.store.ThrowOut(t.Context(), gone.ID, false); err != nil {
		t.Fatal(err)
	}
	if _, d := nearestTo(h.look(t), h.truth.Reps[2].Release.Frame); d < nearFrames(h.truth.Clock) {
		t.Error("what was thrown out is proposed again")
	}
}

func TestAFilmThatIsGoneNeedsNoLooking(t *testing.T) {
	h := newHouse(t)
	err := h.scout.FindReps(context.Background(), store.Job{NewJob: store.NewJob{Subject: "nosuchfilm"}}, func(float64) {})
	if err != nil {
		t.Errorf("looking for reps in a removed film: %v", err)
	}
	if _, err := h.scout.Look(t.Context(), "nosuchfilm"); bullpen.CodeOf(err) != bullpen.NotFound {
		t.Errorf("Look: %v", err)
	}
}
