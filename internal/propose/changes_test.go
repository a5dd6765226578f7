package propose

import (
	"context"
	"slices"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// listening follows changes until the test ends.
func (h house) listening(t *testing.T) {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- h.proposer.FollowChanges(ctx) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}

// awaitQueued waits until a search is queued, and takes it out of the queue again.
func (h house) awaitQueued(t *testing.T, after string) {
	t.Helper()
	changes, stop := h.store.Watch()
	defer stop()
	for len(h.queued(t)) == 0 {
		select {
		case <-changes:
		case <-t.Context().Done():
			t.Fatalf("no search after %s", after)
		}
	}
	for _, j := range h.queued(t) {
		if _, err := h.store.CancelJob(t.Context(), j.ID); err != nil {
			t.Fatal(err)
		}
	}
}

// Whoever changes something that instants hang on need not remember the search.
func TestEveryChangeIsFollowed(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t) // before anybody listens: that is made up for
	h.listening(t)
	h.awaitQueued(t, "what changed while nobody listened")
	ctx := t.Context()
	edit := func(i int, change func(*bullpen.Rep)) error {
		r, err := h.store.Rep(ctx, reps[i].ID)
		if err != nil {
			return err
		}
		change(&r)
		_, _, err = h.store.SaveRep(ctx, r)
		return err
	}
	fast := slices.IndexFunc(reps[1:], func(r bullpen.Rep) bool { return r.Pitch == bullpen.Fastball }) + 1
	for _, x := range []struct {
		what   string
		change func() error
	}{
		{"another mark", func() error { return edit(0, func(r *bullpen.Rep) { r.Drive-- }) }},
		{"another pitch", func() error { return edit(fast, func(r *bullpen.Rep) { r.Pitch = bullpen.ChangeUp }) }},
		{"a warm-up", func() error { return edit(0, func(r *bullpen.Rep) { r.WarmUp = true }) }},
		{"a full pitch", func() error { return edit(0, func(r *bullpen.Rep) { r.WarmUp = false }) }},
		{"a run of readings with pitches", func() error {
			r, err := h.store.Rep(ctx, reps[fast].ID)
			if err != nil {
				return err
			}
			r.Pitch = bullpen.Fastball
			_, revision, err := h.store.Bullpen(ctx, h.pen.ID)
			if err != nil {
				return err
			}
			_, _, err = h.store.Enter(ctx, store.Run{BullpenID: h.pen.ID, Seen: revision, Saved: []bullpen.Rep{r}})
			return err
		}},
		{"slow motion", func() error {
			f, err := h.store.Film(ctx, h.film.ID)
			if err != nil {
				return err
			}
			f.Clock.Slow = 4
			_, err = h.store.SaveFilm(ctx, f.Film)
			return err
		}},
		{"another baseline pitch", func() error {
			her, err := h.store.Pitcher(ctx, h.pen.PitcherID)
			if err != nil {
				return err
			}
			her.BaselinePitch = bullpen.ChangeUp
			_, err = h.store.SavePitcher(ctx, her)
			return err
		}},
	} {
		h.done(t)
		if err := x.change(); err != nil {
			t.Fatalf("%s: %v", x.what, err)
		}
		h.awaitQueued(t, x.what)
	}
}

// done stands for a search that was made with everything as it is now.
func (h house) done(t *testing.T) {
	t.Helper()
	p, err := h.proposer.pen(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	h.keep(t, []store.InstantSearch{{FilmID: h.film.ID, Inputs: p.digest()}}, nil)
}

// What a search hangs on changes while it runs, however late: what it found is kept by
// nobody, and it is done again.
func TestASearchOfWhatIsNoLongerSoIsDoneAgain(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t)
	if h.followAgain(t) != 1 {
		t.Fatal("no search")
	}
	searches := 0
	err := h.proposer.FindInstants(t.Context(), h.queued(t)[0], func(done float64) {
		if done < 1 {
			return
		}
		if searches++; searches > 1 {
			return
		}
		// It is at its end, but for what it found being stored.
		r, err := h.store.Rep(t.Context(), reps[0].ID)
		if err == nil {
			r.Drive -= 6
			_, _, err = h.store.SaveRep(t.Context(), r)
		}
		if err != nil {
			t.Error(err)
		}
	})
	if err != nil || searches != 2 {
		t.Errorf("%d searches, %v", searches, err)
	}
	if due, err := h.proposer.Due(t.Context(), h.pen.ID); due || err != nil {
		t.Errorf("what is kept is not of what is so: due %v, %v", due, err)
	}
}

// A change that the search does not hang on costs it nothing.
func TestASearchOutlivesOtherChanges(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t)
	if h.followAgain(t) != 1 {
		t.Fatal("no search")
	}
	searches := 0
	err := h.proposer.FindInstants(t.Context(), h.queued(t)[0], func(done float64) {
		if done < 1 {
			return
		}
		searches++
		r, err := h.store.Rep(t.Context(), reps[0].ID)
		if err == nil {
			r.Note = "loud"
			_, _, err = h.store.SaveRep(t.Context(), r)
		}
		if err != nil {
			t.Error(err)
		}
	})
	found, readErr := h.store.Instants(t.Context(), h.pen.ID)
	if err != nil || readErr != nil || searches != 1 || len(found) != len(reps) {
		t.Errorf("%d searches found %d reps, %v, %v", searches, len(found), err, readErr)
	}
}

// Of films whose traces another version stored nothing is due until they are measured.
func TestNothingIsDueOnOldTraces(t *testing.T) {
	h := newHouse(t)
	h.throw(t)
	film, err := shown()
	if err != nil {
		t.Fatal(err)
	}
	old := slices.Clone(film.motion)
	old[4]++ // the version's lowest byte
	if err := h.blobs.Delete(t.Context(), h.film.Made.Motion); err != nil {
		t.Fatal(err)
	}
	h.put(t, h.film.Made.Motion, old)
	if due, err := h.proposer.Due(t.Context(), h.pen.ID); due || err != nil {
		t.Errorf("due %v, %v", due, err)
	}
}
