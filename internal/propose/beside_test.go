package propose

import (
	"context"
	"fmt"
	"sync"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// trimmedToOnePitch is a film of one pitch alone, trimmed close.
type short struct {
	motion  []byte
	clock   bullpen.Clock
	release int // frame
}

// shorts are the pitches of shown, each on a film of its own; made once.
var shorts = sync.OnceValues(func() ([]short, error) {
	take, err := demo.Plan(demo.Options{Seed: 5, Reps: demo.Series(4, 3, demo.Same, 1), Rest: 5, Pace: demo.FPS(30, 1)})
	if err != nil {
		return nil, err
	}
	const before, after = 20, 6 // frames
	reps := take.Truth().Reps
	out, meters := make([]short, len(reps)), make([]*trace.Meter, len(reps))
	for i := range out {
		out[i] = short{clock: bullpen.Clock{Num: 1, Den: 30, Slow: 1}, release: before}
		meters[i] = trace.NewMeter(160, 90, 1)
	}
	if err := take.Gray(context.Background(), 160, 90, func(frame int, _ float64, pixels []byte) error {
		for i, r := range reps {
			if n := frame - r.Release.Frame + before; n >= 0 && n <= before+after {
				out[i].clock.Ticks = append(out[i].clock.Ticks, int64(n))
				meters[i].Add(pixels, float64(n)/30)
			}
		}
		return nil
	}); err != nil {
		return nil, err
	}
	for i, m := range meters {
		if out[i].motion, err = m.Motion().MarshalBinary(); err != nil {
			return nil, err
		}
	}
	return out, nil
})

// addShort adds the film of one pitch to the bullpen, read, under a name of its own.
func (h house) addShort(t *testing.T, rep int, name string) (store.Film, short) {
	t.Helper()
	all, err := shorts()
	if err != nil {
		t.Fatal(err)
	}
	one := all[rep]
	f := store.Film{Film: bullpen.Film{ID: store.NewFilmID(), BullpenID: h.pen.ID, Name: name + ".mp4", SHA256: name, State: bullpen.FilmReading}}
	motion := "films/" + f.ID + "/motion"
	f.Made = store.FilmFiles{Original: "films/" + f.ID + "/original", Motion: motion}
	h.put(t, motion, one.motion)
	if err := h.store.Expect(t.Context(), f.Made.Original, motion); err != nil {
		t.Fatal(err)
	}
	if f, _, err = h.store.AddFilm(t.Context(), f, store.NewJob{Kind: "none"}); err != nil {
		t.Fatal(err)
	}
	f.Clock, f.Made.Motion = one.clock, motion
	if _, err := h.store.FilmRead(t.Context(), f, []store.File{{Key: motion, Bytes: 1}}); err != nil {
		t.Fatal(err)
	}
	return f, one
}

// A release marked on one film brings that on the bullpen's other film from the same
// place to within a frame, though nothing is marked there; when the mark goes, what it told
// goes too.
func TestMarkReachesTheOtherFilms(t *testing.T) {
	h := newHouse(t)
	other, one := h.addShort(t, 3, "01")

	rep := h.truth.Reps[0].Rep(h.film.ID)
	rep.BullpenID = h.pen.ID
	rep, _, err := h.store.AddRep(t.Context(), rep)
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
		if d := p.Release - one.release; d < -1 || d > 1 || p.Confidence <= Sure || p.Rough {
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

// A film that is said to show her from another place takes its marks with it: what was
// found by them elsewhere is looked at again, and so is the film itself where it was found
// by marks from its place before.
func TestMarksGoWithTheView(t *testing.T) {
	h := newHouse(t)
	other, _ := h.addShort(t, 3, "01")
	rep := h.truth.Reps[0].Rep(h.film.ID)
	rep.BullpenID = h.pen.ID
	if _, _, err := h.store.AddRep(t.Context(), rep); err != nil {
		t.Fatal(err)
	}
	h.look(t)
	h.doQueued(t)
	sure := func() bool {
		proposed, err := h.store.Proposals(t.Context(), h.pen.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range proposed {
			if p.FilmID == other.ID && p.Confidence > Sure {
				return true
			}
		}
		return false
	}
	if !sure() {
		t.Fatal("the mark does not reach the other film")
	}
	turn := func(id string, to bullpen.View) {
		t.Helper()
		f, err := h.store.Film(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		f.View = to
		if _, err := h.store.SaveFilm(t.Context(), f.Film); err != nil {
			t.Fatal(err)
		}
		if err := h.proposer.SearchBeside(t.Context(), h.pen.ID, ""); err != nil {
			t.Fatal(err)
		}
		if n := h.doQueued(t); n != 1 {
			t.Errorf("%d looks, want one at the film without marks", n)
		}
	}
	turn(h.film.ID, bullpen.ViewBehind)
	if sure() {
		t.Error("sure by a mark from another place")
	}
	turn(other.ID, bullpen.ViewBehind)
	if !sure() {
		t.Error("from the marked film's place now, and its mark does not count")
	}
	turn(other.ID, bullpen.ViewSide)
	if sure() {
		t.Error("sure by a mark from the place that it was said to be from before")
	}
}

// Of many films of one pitch each, a look at one has another looked at again only where that
// would see other marks: looks grow with the films, not with their square.
func TestLooksGrowWithTheFilms(t *testing.T) {
	h := newHouse(t)
	long, err := h.store.Film(t.Context(), h.film.ID)
	if err != nil {
		t.Fatal(err)
	}
	long.View = bullpen.ViewBehind // another place
	if _, err := h.store.SaveFilm(t.Context(), long.Film); err != nil {
		t.Fatal(err)
	}
	var films []store.Film
	for i := range 6 {
		f, _ := h.addShort(t, i, fmt.Sprintf("%02d", i+1))
		films = append(films, f)
	}
	// all looks at every film once, and does what is queued by it.
	all := func() (looks int) {
		for _, f := range films {
			if _, err := h.proposer.Search(t.Context(), f.ID); err != nil {
				t.Fatal(err)
			}
			looks += h.doQueued(t)
		}
		return looks
	}
	for _, f := range films[:2] {
		if err := h.proposer.SearchRead(t.Context(), f.ID); err != nil {
			t.Fatal(err)
		}
	}
	beside, ok, err := h.store.ClaimJob(t.Context(), []string{RepsKind}, time.Hour) // another worker has it
	if err != nil || !ok {
		t.Fatal(err)
	}
	if n := h.doQueued(t); n != 1 {
		t.Errorf("a film that was read while another one is looked at: %d looks", n)
	}
	if err := h.store.EndJob(t.Context(), beside.ID, beside.Claim, store.JobDone, "", 0); err != nil {
		t.Fatal(err)
	}
	if n := all(); n != len(films) {
		t.Errorf("nothing is marked: %d looks at %d films", n, len(films))
	}
	mark := func(f store.Film, release int) bullpen.Rep {
		rep, _, err := h.store.AddRep(t.Context(), bullpen.Rep{BullpenID: h.pen.ID, FilmID: f.ID, Pitch: bullpen.Fastball,
			Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: release})
		if err != nil {
			t.Fatal(err)
		}
		return rep
	}
	look := func(f store.Film) int {
		if _, err := h.proposer.Search(t.Context(), f.ID); err != nil {
			t.Fatal(err)
		}
		return h.doQueued(t)
	}
	rep := mark(films[0], 20)
	// It was marked while it was read.
	if err := h.proposer.SearchRead(t.Context(), films[0].ID); err != nil {
		t.Fatal(err)
	}
	if n := h.doQueued(t); n != len(films) {
		t.Errorf("the first mark: %d looks at %d films", n, len(films))
	}
	if n := all(); n != len(films) {
		t.Errorf("one is marked and nothing has changed: %d looks at %d films", n, len(films))
	}
	for i := range 4 {
		mark(films[i+1], 20)
		want := 1 // more than fewMarked tell no more
		if i+1 < fewMarked {
			want = len(films) - i - 1
		}
		if n := look(films[i+1]); n != want {
			t.Errorf("a mark on film %d: %d looks, want %d", i+2, n, want)
		}
	}
	// The last one was found by the first three. One of their marks is put right.
	rep.Release++
	if _, _, err := h.store.SaveRep(t.Context(), rep); err != nil {
		t.Fatal(err)
	}
	if n := look(films[0]); n != 2 {
		t.Errorf("a moved mark: %d looks, want one at its film and one at the one without marks", n)
	}
	// The last one goes by the three nearest now: by a mark of one of them beyond those that
	// are looked at, nothing else is found.
	for i := range trace.MostBeside - 1 {
		mark(films[4], i)
	}
	if n := look(films[4]); n != 2 {
		t.Errorf("more marks on one film: %d looks, want one at it and one at the one without marks", n)
	}
	mark(films[4], 21)
	if n := look(films[4]); n != 1 {
		t.Errorf("%d marks on one film: %d looks, want one", trace.MostBeside+1, n)
	}
}

// doQueued does all looks that are queued, and says how many they were.
func (h house) doQueued(t *testing.T) int {
	t.Helper()
	return h.doQueuedAt(t, func(string) bool { return true })
}

// lookAtQueued does the looks at a film that are queued, and says how many they were;
// those at others were done, see look.
func (h house) lookAtQueued(t *testing.T, filmID string) int {
	t.Helper()
	return h.doQueuedAt(t, func(id string) bool { return id == filmID })
}

// doQueuedAt does the looks that are queued at the wanted films, and ends the others.
func (h house) doQueuedAt(t *testing.T, wanted func(filmID string) bool) (looks int) {
	t.Helper()
	for {
		job, ok, err := h.store.ClaimJob(t.Context(), []string{RepsKind}, time.Hour)
		if err != nil {
			t.Fatal(err)
		}
		if !ok {
			return looks
		}
		if wanted(job.Subject) {
			looks++
			if err := h.proposer.FindReps(t.Context(), job, func(float64) {}); err != nil {
				t.Fatal(err)
			}
		}
		if err := h.store.EndJob(t.Context(), job.ID, job.Claim, store.JobDone, "", 0); err != nil {
			t.Fatal(err)
		}
	}
}
