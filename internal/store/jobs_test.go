package store

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// clocked opens a store whose clock is told.
func clocked(t *testing.T, now *time.Time) *Store {
	t.Helper()
	s := fresh(t)
	tellTime(s, func() time.Time { return *now })
	return s
}

// claim takes a job of the kinds and returns it, "" for none.
func claim(t *testing.T, s *Store, kinds ...string) Job {
	t.Helper()
	j, _, err := s.ClaimJob(t.Context(), kinds, time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// startOver queues again what runs, as StartOverJobs does where no other program works.
func startOver(s *Store, ctx context.Context) error {
	if s.Ours() {
		return s.StartOverJobs(ctx)
	}
	return s.tx(ctx, func(tx *tx) error {
		_, err := tx.putBack(`1 = 1`, false, 0)
		return err
	})
}

func TestQueue(t *testing.T) {
	now := time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC)
	s := clocked(t, &now)
	queue := func(kind, subject string) Job {
		t.Helper()
		now = now.Add(time.Second)
		j, err := s.AddJob(t.Context(), NewJob{Kind: kind, Subject: subject, Payload: "{}"})
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	film, clip := queue("read", "f1"), queue("render", "c1")
	if again := queue("read", "f1"); again.ID != film.ID {
		t.Error("the same job waits twice")
	}
	if got := claim(t, s, "render"); got.ID != clip.ID || got.State != JobRunning || got.Attempts != 1 {
		t.Errorf("claimed %+v", got)
	}
	if got := claim(t, s, "read", "render"); got.ID != film.ID {
		t.Errorf("claimed %+v", got)
	}
	if got := claim(t, s, "read", "render"); got.ID != "" {
		t.Errorf("claimed %+v twice", got)
	}
	// Another on the same subject waits for the one that runs.
	later := queue("render", "c1")
	if later.ID == clip.ID {
		t.Fatal("a running job took the place of a new one")
	}
	if got := claim(t, s, "render"); got.ID != "" {
		t.Errorf("two at once on one clip: %+v", got)
	}
	if err := s.EndJob(t.Context(), clip.ID, 1, JobDone, "", 0); err != nil {
		t.Fatal(err)
	}
	if got := claim(t, s, "render"); got.ID != later.ID {
		t.Errorf("claimed %+v", got)
	}

	// A worker that gives no sign loses its job to the next, and then has no say.
	now = now.Add(2 * time.Minute)
	if got := claim(t, s, "read"); got.ID != film.ID || got.Attempts != 2 {
		t.Errorf("lease ran out, claimed %+v", got)
	}
	_, err := s.HoldJob(t.Context(), film.ID, 1, 0.5, time.Minute)
	wantCode(t, err, bullpen.NotFound)
	if err := s.EndJob(t.Context(), film.ID, 1, JobFailed, "no", 0); err != nil {
		t.Fatal(err)
	}
	if cancelling, err := s.HoldJob(t.Context(), film.ID, 2, 0.5, time.Minute); err != nil || cancelling {
		t.Errorf("cancelling %v, %v", cancelling, err)
	}
	if j, err := s.Job(t.Context(), film.ID); err != nil || j.State != JobRunning || j.Progress != 0.5 {
		t.Errorf("%+v, %v", j, err)
	}

	// Put back to be tried later.
	if err := s.ReturnJob(t.Context(), film.ID, 2, false, 10*time.Second, 0); err != nil {
		t.Fatal(err)
	}
	if got := claim(t, s, "read"); got.ID != "" {
		t.Errorf("too early: %+v", got)
	}
	now = now.Add(11 * time.Second)
	if got := claim(t, s, "read"); got.ID != film.ID || got.Attempts != 3 {
		t.Errorf("after the pause: %+v", got)
	}
	// An interruption does not count as an attempt.
	if err := s.ReturnJob(t.Context(), film.ID, 3, true, 0, 0); err != nil {
		t.Fatal(err)
	}
	if got := claim(t, s, "read"); got.ID != film.ID || got.Attempts != 3 {
		t.Errorf("after the interruption: %+v", got)
	}

	// Asked to stop, and the program ends before it does.
	if j, err := s.CancelJob(t.Context(), film.ID); err != nil || j.State != JobRunning || !j.Cancelling {
		t.Errorf("%+v, %v", j, err)
	}
	ids, err := s.Cancelling(t.Context())
	same(t, ids, []string{film.ID}, err)
	if err := startOver(s, t.Context()); err != nil {
		t.Fatal(err)
	}
	for id, want := range map[string]JobState{film.ID: JobCancelled, later.ID: JobQueued} {
		if j, err := s.Job(t.Context(), id); err != nil || j.State != want {
			t.Errorf("after a restart: %+v, %v, want %s", j, err, want)
		}
	}
	if j, err := s.CancelJob(t.Context(), later.ID); err != nil || j.State != JobCancelled {
		t.Errorf("waiting and cancelled: %+v, %v", j, err)
	}
	if j, err := s.RetryJob(t.Context(), film.ID); err != nil || j.State != JobQueued || j.Attempts != 0 {
		t.Errorf("tried again: %+v, %v", j, err)
	}
	now = now.Add(time.Hour)
	if err := s.ForgetJobs(t.Context(), now); err != nil {
		t.Fatal(err)
	}
	_, err = s.Job(t.Context(), later.ID)
	wantCode(t, err, bullpen.NotFound)
	_, err = s.CancelJob(t.Context(), later.ID)
	wantCode(t, err, bullpen.NotFound)
}

// What a worker says by a claim that is no longer the job's changes nothing, also where the
// job's attempts were counted anew meanwhile: it was asked for again, or put back since its
// program was stopped.
func TestStaleClaims(t *testing.T) {
	now := time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC)
	s := clocked(t, &now)
	ctx := t.Context()
	added, err := s.AddJob(ctx, NewJob{Kind: "read", Subject: "f1", Payload: "{}"})
	if err != nil {
		t.Fatal(err)
	}
	id := added.ID
	var claims []Claim
	take := func() {
		t.Helper()
		j := claim(t, s, "read")
		if j.ID != id {
			t.Fatalf("claimed %+v", j)
		}
		claims = append(claims, j.Claim)
	}
	does := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	latest := func() Claim { return claims[len(claims)-1] }
	// staleSay has every claim but the latest say all that a worker can.
	staleSay := func(what string) {
		t.Helper()
		before, err := s.Job(ctx, id)
		does(err)
		for _, c := range claims[:len(claims)-1] {
			_, err := s.HoldJob(ctx, id, c, 0.9, time.Hour)
			wantCode(t, err, bullpen.NotFound)
			does(s.ReturnJob(ctx, id, c, true, 0, time.Second))
			does(s.ReturnJob(ctx, id, c, false, time.Hour, time.Second))
			does(s.EndJob(ctx, id, c, JobFailed, "too late", time.Second))
			does(s.EndJob(ctx, id, c, JobDone, "", time.Second))
		}
		after, err := s.Job(ctx, id)
		same(t, after, before, err)
		if before.State != JobRunning {
			t.Errorf("%s: the job is %s", what, before.State)
		}
	}

	take()
	now = now.Add(2 * time.Minute) // its machine is held up
	take()
	staleSay("claimed by another")
	does(s.EndJob(ctx, id, latest(), JobFailed, "Broken.", 0))
	if _, err := s.RetryJob(ctx, id); err != nil {
		t.Fatal(err)
	}
	take()
	staleSay("asked for again")
	does(s.ReturnJob(ctx, id, latest(), true, 0, 0)) // done, but it does not hear of it and says so again
	take()
	staleSay("put back since its program was stopped")
	does(startOver(s, ctx))
	take()
	staleSay("started over")
	does(s.EndJob(ctx, id, latest(), JobDone, "", 0))
	if j, err := s.Job(ctx, id); err != nil || j.State != JobDone {
		t.Errorf("%+v, %v", j, err)
	}
	for i := 1; i < len(claims); i++ {
		if claims[i] <= claims[i-1] {
			t.Errorf("claims %v don't rise", claims)
		}
	}
}

func TestCancelledReadingStaysInSight(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	f := reading(t, s, b, "a.mov", "a")
	ready(t, s, b, "b.mov", 10, 0)
	jobs, err := s.Jobs(t.Context(), b.ID)
	if err != nil || len(jobs) != 2 {
		t.Fatalf("%+v, %v", jobs, err)
	}
	for _, j := range jobs {
		if _, err := s.CancelJob(t.Context(), j.ID); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.ForgetJobs(t.Context(), time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	for _, bullpenID := range []string{b.ID, ""} {
		jobs, err := s.Jobs(t.Context(), bullpenID)
		if err != nil || len(jobs) != 1 || jobs[0].Subject != f.ID || jobs[0].State != JobCancelled {
			t.Errorf("%+v, %v", jobs, err)
		}
	}
}

func TestWatch(t *testing.T) {
	s := fresh(t)
	b, other := pen(t, s, "Kit", "2026-04-11"), pen(t, s, "Mo", "2026-04-11")
	changes, stop := s.Watch()
	defer stop()
	// Nobody listens for a while: of each bullpen the latest is told.
	for range 5 {
		add(t, s, unmarked(b, bullpen.Fastball, 50))
	}
	add(t, s, unmarked(other, bullpen.Fastball, 50))
	if _, _, err := s.AddRep(t.Context(), unmarked(bullpen.Bullpen{ID: "nothing"}, bullpen.Fastball, 50)); err == nil {
		t.Fatal("a rep of no bullpen")
	}
	told := map[string]int64{}
	for told[b.ID] < 6 || told[other.ID] < 2 {
		c := <-changes
		if c.Revision <= told[c.BullpenID] {
			t.Errorf("revision %d told after %d", c.Revision, told[c.BullpenID])
		}
		told[c.BullpenID] = c.Revision
	}
	if _, err := s.AddJob(t.Context(), NewJob{Kind: "read"}); err != nil {
		t.Fatal(err)
	}
	if c := <-changes; !c.Jobs || !c.Queue || c.BullpenID != "" {
		t.Errorf("a new job: %+v", c)
	}
	stop()
	stop() // twice is no harm
	add(t, s, unmarked(b, bullpen.Fastball, 50))
}

// TestAcademiesApart looks at one academy's rows from another.
func TestAcademiesApart(t *testing.T) {
	s := fresh(t)
	if _, err := s.write.Exec(`INSERT INTO academies (id, created) VALUES ('stranger', 0)`); err != nil {
		t.Fatal(err)
	}
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "a.mov", 100, 0)
	r := add(t, s, marked(f, 10, bullpen.ChangeUp))
	c := finished(t, s, b, r.ID, "")
	p, err := s.Pitcher(t.Context(), b.PitcherID)
	if err != nil {
		t.Fatal(err)
	}
	job := claim(t, s, "read film")
	ctx := t.Context()
	strange := &Store{engine: s.engine, dir: s.dir, write: s.write, read: s.read, first: "stranger", now: time.Now}
	for name, act := range map[string]func() error{
		"pitcher":        func() error { _, err := strange.Pitcher(ctx, p.ID); return err },
		"bullpen":        func() error { _, _, err := strange.Bullpen(ctx, b.ID); return err },
		"film":           func() error { _, err := strange.Film(ctx, f.ID); return err },
		"rep":            func() error { _, err := strange.Rep(ctx, r.ID); return err },
		"clip":           func() error { _, err := strange.Clip(ctx, c.ID); return err },
		"job":            func() error { _, err := strange.Job(ctx, job.ID); return err },
		"trust":          func() error { _, err := strange.TrustRule(ctx, p.ID); return err },
		"save pitcher":   func() error { _, err := strange.SavePitcher(ctx, p); return err },
		"save bullpen":   func() error { _, _, err := strange.SaveBullpen(ctx, b); return err },
		"save film":      func() error { _, err := strange.SaveFilm(ctx, f.Film); return err },
		"save rep":       func() error { _, _, err := strange.SaveRep(ctx, r); return err },
		"save clip":      func() error { return strange.SaveClip(ctx, c) },
		"add bullpen":    func() error { _, err := strange.AddBullpen(ctx, b, true); return err },
		"add rep":        func() error { _, _, err := strange.AddRep(ctx, r); return err },
		"queue clip":     func() error { _, err := strange.QueueClip(ctx, c, NewJob{}); return err },
		"refuse film":    func() error { _, err := strange.RefuseFilm(ctx, f.ID, ""); return err },
		"propose":        func() error { return strange.Propose(ctx, f.ID, nil, FilmFindings{}, 0) },
		"remove rep":     func() error { _, err := strange.RemoveRep(ctx, r.ID, 0); return err },
		"restore rep":    func() error { _, _, err := strange.RestoreRep(ctx, r.ID); return err },
		"remove clip":    func() error { _, err := strange.RemoveClip(ctx, c.ID); return err },
		"remove film":    func() error { _, err := strange.RemoveFilm(ctx, f.ID, 0); return err },
		"remove bullpen": func() error { _, err := strange.RemoveBullpen(ctx, b.ID, 0, Whatever); return err },
		"remove pitcher": func() error { _, err := strange.RemovePitcher(ctx, p.ID, 0, Whatever); return err },
		"would":          func() error { _, err := strange.Would(ctx, "pitcher", p.ID); return err },
		"cancel job":     func() error { _, err := strange.CancelJob(ctx, job.ID); return err },
		"retry job":      func() error { _, err := strange.RetryJob(ctx, job.ID); return err },
	} {
		t.Run(name, func(t *testing.T) { wantCode(t, act(), bullpen.NotFound) })
	}
	for name, count := range map[string]func() (int, error){
		"pitchers":   func() (int, error) { l, err := strange.Pitchers(ctx); return len(l), err },
		"bullpens":   func() (int, error) { l, _, err := strange.Bullpens(ctx, "", Page{}); return len(l), err },
		"hers":       func() (int, error) { l, _, err := strange.Bullpens(ctx, p.ID, Page{}); return len(l), err },
		"films":      func() (int, error) { l, err := strange.Films(ctx, b.ID); return len(l), err },
		"unsettled":  func() (int, error) { l, err := strange.UnsettledFilms(ctx); return len(l), err },
		"reps":       func() (int, error) { l, err := strange.Reps(ctx, b.ID); return len(l), err },
		"found":      func() (int, error) { l, _, err := strange.FindReps(ctx, RepFilter{}, Page{}); return len(l), err },
		"her reps":   func() (int, error) { l, err := strange.PitcherReps(ctx, p.ID); return len(l), err },
		"throw days": func() (int, error) { l, err := strange.ThrowDays(ctx, p.ID); return len(l), err },
		"clips":      func() (int, error) { l, err := strange.Clips(ctx, b.ID); return len(l), err },
		"proposals":  func() (int, error) { l, err := strange.Proposals(ctx, b.ID); return len(l), err },
		"jobs":       func() (int, error) { l, err := strange.Jobs(ctx, ""); return len(l), err },
	} {
		t.Run(name, func(t *testing.T) {
			if n, err := count(); n != 0 || err != nil {
				t.Errorf("%d, %v", n, err)
			}
		})
	}
	// Nothing of what was tried changed anything.
	got, err := s.Rep(ctx, r.ID)
	same(t, got, r, err)
	if _, err := s.Film(ctx, f.ID); err != nil {
		t.Error(err)
	}
}

// A clock that is set forward or back an hour, over and over, loses no job, has none
// wait for the clock to catch up, and lets none be ended by a worker who lost it.
func TestClockJumps(t *testing.T) {
	now := time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC)
	s := clocked(t, &now)
	dice := rand.New(rand.NewPCG(5, 5))
	open := map[string]bool{}
	for i := range 60 {
		j, err := s.AddJob(t.Context(), NewJob{Kind: "read", Subject: fmt.Sprint("f", i), Payload: "{}"})
		if err != nil {
			t.Fatal(err)
		}
		open[j.ID] = true
	}
	for turn := 0; len(open) > 0; turn++ {
		if turn > 500 {
			t.Fatalf("%d jobs never came to an end", len(open))
		}
		now = now.Add(time.Second)
		if dice.IntN(3) == 0 {
			now = now.Add(time.Duration(2*dice.IntN(2)-1) * time.Hour)
		}
		j := claim(t, s, "read")
		if j.ID == "" {
			now = now.Add(20 * time.Second) // longer than any pause here
			continue
		}
		if !open[j.ID] {
			t.Fatalf("job %s came again after its end", j.ID)
		}
		var err error
		switch dice.IntN(3) {
		case 0:
			err = s.ReturnJob(t.Context(), j.ID, j.Claim, false, 4*time.Second, 0)
		case 1: // its worker sleeps, and another takes it
			now = now.Add(2 * time.Hour)
			other := claim(t, s, "read")
			if other.ID == j.ID {
				if _, err := s.HoldJob(t.Context(), j.ID, j.Claim, 0.5, time.Minute); bullpen.CodeOf(err) != bullpen.NotFound {
					t.Errorf("the job is still the first one's: %v", err)
				}
			}
			if other.ID != "" {
				err = s.ReturnJob(t.Context(), other.ID, other.Claim, true, 0, 0)
			}
			now = now.Add(-2 * time.Hour)
		default:
			if err = s.EndJob(t.Context(), j.ID, j.Claim, JobDone, "", 0); err == nil {
				delete(open, j.ID)
			}
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

// A job that is running stays its worker's when the clock is set back, however far, and
// waits for no clock after a restart.
func TestClockSetBackWhileAJobRuns(t *testing.T) {
	now := time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC)
	s := clocked(t, &now)
	j, err := s.AddJob(t.Context(), NewJob{Kind: "read", Subject: "f1", Payload: "{}"})
	if err != nil {
		t.Fatal(err)
	}
	if got := claim(t, s, "read"); got.ID != j.ID {
		t.Fatalf("claimed %+v", got)
	}
	now = now.Add(-25 * time.Minute)
	if got := claim(t, s, "read"); got.ID != "" {
		t.Errorf("claimed a second time: %+v", got)
	}
	if _, err := s.HoldJob(t.Context(), j.ID, 1, 0.5, time.Minute); err != nil {
		t.Errorf("no longer its worker's: %v", err)
	}
	now = now.Add(-25 * time.Minute)
	if err := startOver(s, t.Context()); err != nil {
		t.Fatal(err)
	}
	if got := claim(t, s, "read"); got.ID != j.ID || got.Attempts != 2 {
		t.Errorf("after a restart: %+v", got)
	}
}

// TestLatestLessonFirst queues films of two lessons and of a homework.
func TestLatestLessonFirst(t *testing.T) {
	now := time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC)
	s := clocked(t, &now)
	level, _ := bullpen.LevelOf("14U")
	pen := func() string {
		t.Helper()
		now = now.Add(time.Hour)
		_, pen, err := s.AddBullpenFor(t.Context(), bullpen.NewPitcher("Kit", level), bullpen.Bullpen{Day: "2026-04-11"}, false)
		if err != nil {
			t.Fatal(err)
		}
		return pen.ID
	}
	queue := func(pen, film string) {
		t.Helper()
		now = now.Add(time.Second)
		if _, err := s.AddJob(t.Context(), NewJob{Kind: "read film", Subject: film, BullpenID: pen, Payload: "{}"}); err != nil {
			t.Fatal(err)
		}
	}
	before, lesson, task := pen(), pen(), pen()
	if _, err := s.write.ExecContext(t.Context(), `INSERT INTO homeworks (id, academy_id, pitcher_id, bullpen_id, version, created, workout, drills, due, student, draft, sent, film_at, review_at, trimmed)
		SELECT 'h', academy_id, pitcher_id, id, 1, created, '{}', '[]', '', '{}', '{}', '{}', 0, 0, 0 FROM bullpens WHERE id = ?`, task); err != nil {
		t.Fatal(err)
	}
	queue(task, "hers")
	queue(before, "last week's")
	queue(lesson, "first")
	queue(lesson, "second")
	for _, want := range []string{"first", "second", "last week's", "hers"} {
		if got := claim(t, s, "read film"); got.Subject != want {
			t.Errorf("%q comes before %q", got.Subject, want)
		}
	}
}

// A clip waits while its film is read again, and no longer than that.
func TestClipWaitsForItsFilm(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "a.mov", 100, 0)
	claim(t, s, "read film") // its first reading
	r := add(t, s, marked(f, 10, bullpen.ChangeUp))
	c, err := s.QueueClip(t.Context(), Clip{BullpenID: b.ID, Kind: "single", RepID: r.ID, Options: "{}"}, NewJob{Kind: "render clip", Payload: "{}"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.write.ExecContext(t.Context(), `UPDATE films SET state = 'reading'`); err != nil {
		t.Fatal(err)
	}
	if j := claim(t, s, "render clip"); j.ID != "" {
		t.Fatalf("%+v is begun while its film is read", j)
	}
	if _, err := s.write.ExecContext(t.Context(), `UPDATE jobs SET state = 'failed' WHERE kind = 'read film'`); err != nil {
		t.Fatal(err)
	}
	if j := claim(t, s, "render clip"); j.Subject != c.ID {
		t.Errorf("claimed %+v, though nobody reads its film", j)
	}
}
