package propose

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/store"
)

// eyes find a joint in every frame that they are shown, and note the runs.
type eyes struct {
	runs  [][2]int
	fails error // after the first run
}

func (e *eyes) find(_ context.Context, f store.Film, runs [][2]int, found func(int, posture.Track) error, progress func(float64)) error {
	for i, r := range runs {
		if i > 0 && e.fails != nil {
			return e.fails
		}
		e.runs = append(e.runs, r)
		var t posture.Track
		for frame := r[0]; frame <= r[1]; frame++ {
			p := posture.Pose{Frame: frame}
			p.Points[posture.LeftHip] = posture.Point{X: 0.5, Y: 0.25, Sure: 1}
			t = append(t, p)
		}
		if err := found(i, t); err != nil {
			return err
		}
		progress(float64(i+1) / float64(len(runs)))
	}
	return nil
}

// doJoints does the jobs that a change sets off, until none is left; it returns how many
// there were and the last one's error.
func (h house) doJoints(t *testing.T, j *Joints) (jobs int, err error) {
	t.Helper()
	if err := j.followChange(t.Context(), h.pen.ID); err != nil {
		t.Fatal(err)
	}
	for {
		job, ok, e := h.store.ClaimJob(t.Context(), []string{JointsKind}, 1e9)
		if e != nil {
			t.Fatal(e)
		}
		if !ok {
			return jobs, err
		}
		jobs++
		state := store.JobDone
		if err = j.FindJoints(t.Context(), job, func(float64) {}); err != nil {
			state = store.JobFailed
		}
		if e := h.store.EndJob(t.Context(), job.ID, job.Claim, state, "", 0); e != nil {
			t.Fatal(e)
		}
	}
}

// Joints are looked for round every delivery once, a few deliveries a job; a mark that
// moves a little, and any other change, sets nothing off; another box round her, or another
// version of the method, has all of them looked at anew; and they go with their film.
func TestJointsRoundEveryDelivery(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t)
	e := &eyes{}
	j := NewJoints(h.store, e.find, 1, nil)
	jobs, err := h.doJoints(t, j)
	if err != nil {
		t.Fatal(err)
	}
	if len(e.runs) != len(reps) || jobs != (len(reps)+atOnce-1)/atOnce {
		t.Fatalf("%d runs of %d reps in %d jobs", len(e.runs), len(reps), jobs)
	}
	c := h.film.Clock
	for i, r := range reps {
		_, _, track, err := j.Round(t.Context(), h.film, r.Release)
		if err != nil || len(track) == 0 {
			t.Fatalf("rep %d: %d poses, %v", i, len(track), err)
		}
		if from, to := c.RealSeconds(track[0].Frame, r.Release), c.RealSeconds(r.Release, track[len(track)-1].Frame); from < beforeRelease-0.04 || from > beforeRelease+0.04 || to < afterRelease-0.04 || to > afterRelease {
			t.Errorf("rep %d: from %.2f s before release to %.2f s after", i, from, to)
		}
	}
	// Between two deliveries is a gap that reaches from the one to the other.
	one, two := reps[0].Release, reps[1].Release
	_, end, _, _ := j.Round(t.Context(), h.film, one)
	begin, _, _, _ := j.Round(t.Context(), h.film, two)
	if from, to, track, err := j.Round(t.Context(), h.film, (one+two)/2); from != end+1 || to != begin-1 || track != nil || err != nil {
		t.Errorf("between frames %d and %d there is a run from %d to %d of %d poses, %v", end, begin, from, to, len(track), err)
	}
	reps[1].Release += 2
	if _, _, err := h.store.SaveRep(t.Context(), reps[1]); err != nil {
		t.Fatal(err)
	}
	if n, err := h.doJoints(t, j); n != 0 || err != nil {
		t.Errorf("a mark moved by two frames: %d jobs, %v", n, err)
	}
	f, err := h.store.Film(t.Context(), h.film.ID)
	if err != nil {
		t.Fatal(err)
	}
	e.runs = nil
	f.View = bullpen.ViewSide
	if f, err = h.store.SaveFilm(t.Context(), f.Film); err != nil {
		t.Fatal(err)
	}
	if n, err := h.doJoints(t, j); n != 0 || err != nil {
		t.Errorf("another view: %d jobs, %v", n, err)
	}
	f.Box = bullpen.Box{X: 0.1, Y: 0.1, Width: 0.5, Height: 0.5}
	if _, err = h.store.SaveFilm(t.Context(), f.Film); err != nil {
		t.Fatal(err)
	}
	if _, err := h.doJoints(t, j); len(e.runs) != len(reps) || err != nil {
		t.Errorf("she was said to be elsewhere: %d of %d deliveries are looked at again, %v", len(e.runs), len(reps), err)
	}
	newer := &eyes{}
	if _, err := h.doJoints(t, NewJoints(h.store, newer.find, 2, nil)); err != nil || len(newer.runs) != len(reps) {
		t.Errorf("another version looked at %d of %d deliveries, %v", len(newer.runs), len(reps), err)
	}
	if _, _, track, err := j.Round(t.Context(), h.film, reps[0].Release); track != nil || err != nil {
		t.Errorf("what another version found is taken: %d poses, %v", len(track), err)
	}
	if _, err := h.store.RemoveFilm(t.Context(), h.film.ID, 0); err != nil {
		t.Fatal(err)
	}
	if left, err := h.store.Joints(t.Context(), h.film.ID); err != nil || len(left) != 0 {
		t.Errorf("%d runs are left of a film that was removed, %v", len(left), err)
	}
}

// Nothing else that is to be done with a film waits until her joints are found.
func TestJointsHoldNothingBack(t *testing.T) {
	h := newHouse(t)
	h.throw(t)
	j := NewJoints(h.store, (&eyes{}).find, 1, nil)
	if err := j.followChange(t.Context(), h.pen.ID); err != nil {
		t.Fatal(err)
	}
	if _, ok, err := h.store.ClaimJob(t.Context(), []string{JointsKind}, 1e12); err != nil || !ok {
		t.Fatal(ok, err)
	}
	if _, err := h.proposer.Search(t.Context(), h.film.ID); err != nil {
		t.Fatal(err)
	}
	if job, ok, err := h.store.ClaimJob(t.Context(), []string{RepsKind}, 1e12); err != nil || !ok || job.Subject != h.film.ID {
		t.Errorf("reps can't be looked for while joints are: %v, %v", ok, err)
	}
}

// What was found before a search fails is kept, nothing is tried again unasked, and a
// retry goes on from there.
func TestJointsGoOn(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t)
	e := &eyes{fails: errors.New("no more")}
	j := NewJoints(h.store, e.find, 1, nil)
	if n, err := h.doJoints(t, j); n != 1 || err == nil {
		t.Fatalf("%d jobs, %v", n, err)
	}
	if n, _ := h.doJoints(t, j); n != 0 {
		t.Errorf("a search that failed is begun again by itself, %d times", n)
	}
	e.fails = nil
	all, err := h.store.Jobs(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	for _, job := range all {
		if job.Kind == JointsKind {
			if _, err := h.store.RetryJob(t.Context(), job.ID); err != nil {
				t.Fatal(err)
			}
		}
	}
	if _, err := h.doJoints(t, j); err != nil {
		t.Fatal(err)
	}
	if len(e.runs) != len(reps) {
		t.Errorf("%d runs were looked at for %d reps", len(e.runs), len(reps))
	}
}

// Joints that were looked for where she was not are not kept, and she is looked for anew.
func TestJointsOfAnOldBox(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t)
	e, moved := &eyes{}, false
	j := NewJoints(h.store, func(ctx context.Context, f store.Film, runs [][2]int, found func(int, posture.Track) error, progress func(float64)) error {
		if !moved {
			moved = true
			f.Box = bullpen.Box{X: 0.1, Y: 0.1, Width: 0.5, Height: 0.5}
			if _, err := h.store.SaveFilm(ctx, f.Film); err != nil {
				return err
			}
		}
		return e.find(ctx, f, runs, found, progress)
	}, 1, nil)
	if _, err := h.doJoints(t, j); err != nil {
		t.Fatal(err)
	}
	if want := len(reps) + min(len(reps), atOnce); len(e.runs) != want {
		t.Errorf("%d runs were looked at, want %d", len(e.runs), want)
	}
}

// A search that somebody cancelled does not come back at the next change.
func TestCancelledJointsStayCancelled(t *testing.T) {
	h := newHouse(t)
	h.throw(t)
	j := NewJoints(h.store, (&eyes{}).find, 1, nil)
	waits := func() (ids []string) {
		t.Helper()
		if err := j.followChange(t.Context(), h.pen.ID); err != nil {
			t.Fatal(err)
		}
		all, err := h.store.Jobs(t.Context(), h.pen.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, job := range all {
			if job.Kind == JointsKind {
				ids = append(ids, job.ID)
			}
		}
		return ids
	}
	for _, id := range waits() {
		if _, err := h.store.CancelJob(t.Context(), id); err != nil {
			t.Fatal(err)
		}
	}
	if again := waits(); len(again) != 0 {
		t.Errorf("%d searches came back", len(again))
	}
}

// A film in which joints can't be looked for holds no other back.
func TestOneFilmHoldsNoOtherBack(t *testing.T) {
	h := newHouse(t)
	h.throw(t)
	other := h.filled(t, t.Context())
	other.throw(t)
	films, err := h.store.ReadyFilms(t.Context())
	if err != nil || len(films) != 2 {
		t.Fatal(len(films), err)
	}
	db, err := sql.Open("sqlite3", filepath.Join(h.dir, store.Database))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(`CREATE TRIGGER no BEFORE INSERT ON jobs WHEN NEW.subject = '` + jointsOf(films[0].ID) + `' BEGIN SELECT RAISE(ABORT, 'no'); END`); err != nil {
		t.Fatal(err)
	}
	j := NewJoints(h.store, (&eyes{}).find, 1, nil)
	j.lookAll(t.Context(), films)
	if job, _, err := h.store.ClaimJob(t.Context(), []string{JointsKind}, 1e12); err != nil || job.Subject != jointsOf(films[1].ID) {
		t.Errorf("joints are looked for in %q, %v", job.Subject, err)
	}
}

// A machine that can't find joints looks for none, and does away with a job that waits.
func TestNoJointsHere(t *testing.T) {
	h := newHouse(t)
	h.throw(t)
	j := NewJoints(h.store, nil, 1, nil)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if err := j.FollowChanges(ctx); err != nil {
		t.Error(err)
	}
	if err := j.FindJoints(t.Context(), store.Job{NewJob: store.NewJob{Kind: JointsKind, Subject: h.film.ID}}, nil); err != nil {
		t.Error(err)
	}
	if _, _, track, err := j.Round(t.Context(), h.film, h.truth.Reps[0].Rep(h.film.ID).Release); track != nil || err != nil {
		t.Errorf("%d poses, %v", len(track), err)
	}
}

// Deliveries that follow each other closely are one run; marks that are none are none.
func TestRunsThatTouch(t *testing.T) {
	c := bullpen.Clock{Num: 1, Den: 100}
	for i := range 2000 {
		c.Ticks = append(c.Ticks, int64(i))
	}
	got := runs(c, []int{500, bullpen.Unmarked, 640, 1500, 5000, 10})
	want := [][2]int{{0, 45}, {370, 675}, {1370, 1535}}
	if len(got) != len(want) {
		t.Fatalf("%v, want %v", got, want)
	}
	for i, w := range want {
		if got[i] != w {
			t.Errorf("run %d is %v, want %v", i, got[i], w)
		}
	}
}
