package propose

import (
	"context"
	"math"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/posture/posturetest"
	"tenoff/internal/store"
)

// swings shows a pitcher's joints round each release; those of off land their foot so many
// seconds later than the others.
func swings(releases []int, off map[int]float64) Finder {
	return func(_ context.Context, f store.Film, runs [][2]int, found func(int, posture.Track) error, _ func(float64)) error {
		for i, run := range runs {
			var track posture.Track
			for _, r := range releases {
				if r >= run[0] && r <= run[1] {
					track = posturetest.Swing{Release: f.Clock.RealSeconds(0, r), Foot: off[r]}.Track(f.Clock, run[0], run[1])
				}
			}
			if err := found(i, track); err != nil {
				return err
			}
		}
		return nil
	}
}

// What is found beside what her joints show stays sure where the two agree, and is not
// accepted where they lie more than two frames apart; joints without marks, marks without
// joints and a release that moves change nothing else.
func TestJointsAreASecondWitness(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t)[1:3]
	var releases []int
	var found []store.Instants
	film, err := h.store.Film(t.Context(), h.film.ID) // read by now
	if err != nil {
		t.Fatal(err)
	}
	films, c := []store.Film{film}, film.Clock
	for _, r := range reps {
		releases = append(releases, r.Release)
		at := c.RealSeconds(0, r.Release)
		sure := func(before float64) store.FoundInstant {
			return store.FoundInstant{Seconds: at - before, Match: 0.95, Sure: true}
		}
		found = append(found, store.Instants{
			RepID: r.ID, FilmID: h.film.ID, Mark: r.Release, Slow: c.Slow,
			Drive: sure(0.45), Plant: sure(posturetest.Plant), Top: sure(posturetest.Top), Release: sure(0),
		})
	}
	h.keep(t, []store.InstantSearch{{FilmID: h.film.ID}}, found)
	j := NewJoints(h.store, swings(releases, map[int]float64{releases[1]: -0.15}), 1, nil)
	if _, err := h.doJoints(t, j); err != nil {
		t.Fatal(err)
	}
	seen, err := h.proposer.Sights(t.Context(), h.pen.ID, films, reps, nil, true)
	if err != nil || seen != nil {
		t.Errorf("without a witness %v is seen, %v", seen, err)
	}
	h.proposer.Witness(j)
	for range 2 { // the second time from memory
		if seen, err = h.proposer.Sights(t.Context(), h.pen.ID, films, reps, nil, true); err != nil || len(seen) != 2 {
			t.Fatalf("%d deliveries are seen, %v", len(seen), err)
		}
	}
	if seen, err := h.proposer.Sights(t.Context(), h.pen.ID, films, reps, nil, false); err != nil || seen[reps[0].ID].Top.Seen() {
		t.Errorf("the other hand hangs, and shows %+v, %v", seen[reps[0].ID], err)
	}
	for i, want := range []posture.Beside{posture.BesideAgrees, posture.BesideDiffers} {
		s := seen[reps[i].ID]
		if got := Beside(s.Plant, found[i].Plant.Seconds, 0.0035, c); got != want {
			t.Errorf("rep %d: plant %+v beside %.3f s: %q, want %q", i, s.Plant, found[i].Plant.Seconds, got, want)
		}
		if math.Abs(s.Release.Seconds-found[i].Release.Seconds) > 0.005 {
			t.Errorf("rep %d: released at %.3f s, is at %.3f", i, s.Release.Seconds, found[i].Release.Seconds)
		}
	}
	got, err := h.proposer.Accept(t.Context(), h.pen.ID, "", nil)
	if err != nil || got.Reps != 2 || got.Marks != 5 {
		t.Errorf("%+v is accepted of two deliveries, one plant of which is doubted, %v", got, err)
	}
	for i, marked := range []bool{true, false} {
		if r, err := h.store.Rep(t.Context(), reps[i].ID); err != nil || (r.Plant >= 0) != marked || r.Top < 0 || r.Drive < 0 {
			t.Errorf("rep %d: %+v, %v", i, r, err)
		}
	}
}

// A mark on an instant that is doubted is a mark by hand; it doesn't stand for what was
// found there.
func TestAMarkOnADoubtedInstantIsByHand(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t)
	i := 1
	for reps[i].Pitch == bullpen.Fastball { // on her fastballs every mark is one
		i++
	}
	r, c := reps[i], h.film.Clock
	at := c.RealSeconds(0, r.Release)
	plant := store.FoundInstant{Seconds: at - posturetest.Plant, Match: 0.95, Sure: true}
	h.keep(t, []store.InstantSearch{{FilmID: h.film.ID}}, []store.Instants{{RepID: r.ID, FilmID: h.film.ID, Mark: r.Release, Slow: c.Slow, Plant: plant}})
	for _, foot := range []float64{0, -0.15} {
		j := NewJoints(h.store, swings([]int{r.Release}, map[int]float64{r.Release: foot}), int(-100*foot), nil)
		if _, err := h.doJoints(t, j); err != nil {
			t.Fatal(err)
		}
		h.proposer.Witness(j)
		now := r
		now.Plant = nearest(c, plant.Seconds*c.SlowFactor())
		a, err := h.proposer.placedOn(t.Context(), r, now)
		if err != nil || (a.Plant >= 0) != (foot == 0) {
			t.Errorf("a mark on a plant that her joints put %.2f s from it stands for %+v, %v", foot, a, err)
		}
	}
}
