package store

import (
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// revisionOf is what a search that begins now sees.
func revisionOf(t *testing.T, s *Store, bullpenID string) int64 {
	t.Helper()
	_, revision, err := s.Bullpen(t.Context(), bullpenID)
	if err != nil {
		t.Fatal(err)
	}
	return revision
}

func TestInstantsAreKeptApartFromMarks(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "a.mov", 90, 0)
	fast, off := add(t, s, marked(f, 20, bullpen.Fastball)), add(t, s, marked(f, 60, bullpen.ChangeUp))
	found := Instants{
		RepID: off.ID, FilmID: f.ID, Mark: 60, Slow: f.Clock.Slow, Trace: 1, Stretch: 0.14, Match: 0.9,
		Drive: FoundInstant{1.50, 0.91, true}, Plant: FoundInstant{1.90, 0.92, true},
		Top: FoundInstant{1.95, 0.55, false}, Release: FoundInstant{2.01, 0.94, true},
	}
	gone := found
	gone.RepID = "nosuchrep"
	said := []InstantSearch{{FilmID: f.ID, Inputs: "one", Refusal: "", Doubled: 0.02, Cadence: bullpen.Cadence{Step: 0.04, Every: 6, Repeats: 1, Skips: 4}}}
	if err := s.KeepInstants(ctx, b.ID, revisionOf(t, s, b.ID), said, []Instants{found, gone}); err != nil {
		t.Fatal(err)
	}
	got, err := s.Instants(ctx, b.ID)
	same(t, got, []Instants{found}, err)
	films, err := s.InstantSearch(ctx, b.ID)
	same(t, films, said, err)
	if r, err := s.Rep(ctx, off.ID); err != nil || r.Drive != bullpen.Unmarked {
		t.Errorf("the rep got a mark: %+v, %v", r, err)
	}

	// A cadence is in real seconds of the clock as it is now.
	slower := f
	slower.Clock.Slow = 8
	if now, then := Cadences(films, []Film{slower})[f.ID], Cadences(films, []Film{f})[f.ID]; then.Step != 0.04 || now.Step != 0.005 || now.Every != 6 {
		t.Errorf("cadences %+v, %+v", then, now)
	}

	// They hold only while they are of this release on this film.
	if !found.Holds(off, f.Film) || found.Holds(fast, f.Film) {
		t.Error("whose they are is not told")
	}
	moved, slowed := off, f.Film
	moved.Release, slowed.Clock.Slow = 61, 4
	if found.Holds(moved, f.Film) || found.Holds(off, slowed) {
		t.Error("they outlive the release or the film's speed")
	}

	// A search that began before something changed is refused.
	seen := revisionOf(t, s, b.ID)
	add(t, s, marked(f, 80, bullpen.Fastball))
	if err := s.KeepInstants(ctx, b.ID, seen, nil, nil); bullpen.CodeOf(err) != bullpen.Conflict {
		t.Errorf("a search of before: %v", err)
	}
	if got, err := s.Instants(ctx, b.ID); err != nil || len(got) != 1 {
		t.Errorf("%+v, %v", got, err)
	}

	// Another search replaces everything; a removed film takes its own along.
	if err := s.KeepInstants(ctx, b.ID, revisionOf(t, s, b.ID), nil, nil); err != nil {
		t.Fatal(err)
	}
	if got, err := s.Instants(ctx, b.ID); err != nil || len(got) != 0 {
		t.Errorf("%+v, %v", got, err)
	}
	if err := s.KeepInstants(ctx, b.ID, revisionOf(t, s, b.ID), said, []Instants{found}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.RemoveFilm(ctx, f.ID, 0); err != nil {
		t.Fatal(err)
	}
	if got, err := s.Instants(ctx, b.ID); err != nil || len(got) != 0 {
		t.Errorf("left of a removed film: %+v, %v", got, err)
	}
}

func TestAcceptedMarksAreTold(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "a.mov", 90, 0)
	r := add(t, s, marked(f, 60, bullpen.ChangeUp))
	r.Drive = 45
	if _, err := s.AcceptInstants(ctx, []bullpen.Rep{r}, map[string]Accepted{r.ID: {Drive: 45, Plant: -1, Top: -1}}); err != nil {
		t.Fatal(err)
	}
	now, err := s.Rep(ctx, r.ID)
	if err != nil || now.Drive != 45 || now.Version != r.Version+1 {
		t.Errorf("%+v, %v", now, err)
	}
	now.Plant = 52
	if _, err := s.AcceptInstants(ctx, []bullpen.Rep{now}, map[string]Accepted{r.ID: {Drive: -1, Plant: 52, Top: -1}}); err != nil {
		t.Fatal(err)
	}
	got, err := s.Accepted(ctx, b.ID)
	same(t, got, map[string]Accepted{r.ID: {Drive: 45, Plant: 52, Top: -1}}, err)
	_, err = s.AcceptInstants(ctx, []bullpen.Rep{r}, nil) // seen before the others' change
	wantCode(t, err, bullpen.Conflict)
}

// However marks come and go, those that come back count as they did.
func TestMarksComeBackAsTheyWere(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "a.mov", 90, 0)
	r := add(t, s, marked(f, 60, bullpen.ChangeUp))
	accepted := func() Accepted {
		t.Helper()
		all, err := s.Accepted(ctx, b.ID)
		if err != nil {
			t.Fatal(err)
		}
		if a, ok := all[r.ID]; ok {
			return a
		}
		return NoneAccepted()
	}
	type state struct {
		drive, plant int
		accepted     Accepted
	}
	var states []state
	var versions []int64
	save := func(drive, plant int, taken *Accepted, as int64) {
		t.Helper()
		var err error
		r.Drive, r.Plant = drive, plant
		switch {
		case as > 0:
			r, _, err = s.SaveRepAs(ctx, r, as)
		case taken != nil:
			if _, err = s.AcceptInstants(ctx, []bullpen.Rep{r}, map[string]Accepted{r.ID: *taken}); err == nil {
				r, err = s.Rep(ctx, r.ID)
			}
		default:
			r, _, err = s.SaveRep(ctx, r)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	keep := func() {
		states = append(states, state{r.Drive, r.Plant, accepted()})
		versions = append(versions, r.Version)
	}
	keep()
	save(45, 52, nil, 0) // by hand, before anything was found
	keep()
	save(-1, -1, nil, 0)
	keep()
	save(46, 53, &Accepted{46, 53, -1}, 0) // a search found them a frame away
	keep()
	save(46, 52, nil, 0) // and one of them is moved
	keep()
	save(-1, 52, nil, 0)
	keep()
	save(47, 52, &Accepted{47, -1, -1}, 0)
	keep()
	last := len(states) - 1
	for i := last - 1; i >= 0; i-- {
		save(states[i].drive, states[i].plant, nil, versions[i])
		if got := accepted(); got != states[i].accepted {
			t.Errorf("undone to %d: %+v, it was %+v", i, got, states[i].accepted)
		}
	}
	for i := 1; i <= last; i++ {
		save(states[i].drive, states[i].plant, nil, versions[i])
		if got := accepted(); got != states[i].accepted {
			t.Errorf("done again to %d: %+v, it was %+v", i, got, states[i].accepted)
		}
	}
	// What was never found can't be said to have been: another frame is a moved mark.
	save(30, 52, nil, versions[3])
	if got := accepted(); got.Drive != 46 || r.Drive != 30 {
		t.Errorf("%+v, drive at %d", got, r.Drive)
	}
	_, _, err := s.SaveRepAs(ctx, r, r.Version+1)
	wantCode(t, err, bullpen.Invalid)
	r.Version--
	_, _, err = s.SaveRepAs(ctx, r, 1)
	wantCode(t, err, bullpen.Conflict)
}

// A job that fails because what it worked on was removed is no failure.
func TestAJobThatFailsWhileItIsStoppedIsCancelled(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	for _, asked := range []bool{false, true} {
		j, err := s.AddJob(ctx, NewJob{Kind: "look", Subject: "film"})
		if err != nil {
			t.Fatal(err)
		}
		taken, ok, err := s.ClaimJob(ctx, []string{"look"}, time.Minute)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		if asked {
			if _, err := s.CancelJob(ctx, j.ID); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.EndJob(ctx, j.ID, taken.Claim, JobFailed, "There is no such file.", 0); err != nil {
			t.Fatal(err)
		}
		want := JobFailed
		if asked {
			want = JobCancelled
		}
		if got, err := s.Job(ctx, j.ID); err != nil || got.State != want {
			t.Errorf("asked to stop %v: %s, %v; want %s", asked, got.State, err, want)
		}
	}
}
