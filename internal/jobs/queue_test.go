package jobs

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"go.uber.org/goleak"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// bench is a queue at work in a bubble of time of its own.
type bench struct {
	t     *testing.T
	store *store.Store
	queue *Queue
	ctx   context.Context
	stop  func() // ends Run and waits for it
}

// in runs a test in a bubble in which time passes only while everybody waits.
func in(t *testing.T, o Options, set func(*Queue), test func(*bench)) {
	t.Helper()
	dir := t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		s, err := store.OpenScratch(t.Context(), dir)
		if err != nil {
			t.Fatal(err)
		}
		b := &bench{t: t, store: s, ctx: t.Context()}
		b.start(o, set)
		test(b)
		b.stop()
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
}

// start begins a queue's life on the bench's store.
func (b *bench) start(o Options, set func(*Queue)) {
	b.queue = New(b.store, o)
	set(b.queue)
	ctx, cancel := context.WithCancel(b.ctx)
	done := make(chan error, 1)
	go func() { done <- b.queue.Run(ctx) }()
	b.stop = sync.OnceFunc(func() {
		cancel()
		if err := <-done; err != nil {
			b.t.Errorf("Run: %v", err)
		}
	})
}

func (b *bench) add(kind, subject string) store.Job {
	b.t.Helper()
	time.Sleep(time.Millisecond) // no two jobs of the same instant
	j, err := b.store.AddJob(b.ctx, store.NewJob{Kind: kind, Subject: subject, Payload: "{}"})
	if err != nil {
		b.t.Fatal(err)
	}
	return j
}

func (b *bench) job(id string) store.Job {
	b.t.Helper()
	j, err := b.store.Job(b.ctx, id)
	if err != nil {
		b.t.Fatal(err)
	}
	return j
}

// becomes waits until a job has a state; a bubble's time is cheap.
func (b *bench) becomes(id string, want store.JobState) store.Job {
	b.t.Helper()
	for range 10_000 {
		if j := b.job(id); j.State == want {
			return j
		}
		time.Sleep(100 * time.Millisecond)
	}
	b.t.Fatalf("job is %s, never %s", b.job(id).State, want)
	return store.Job{}
}

// blocking is a handler that says when it began, and works until ctx ends or it is
// let go.
type blocking struct {
	began, let chan struct{}
}

// blocked registers a new blocking handler, whose channels belong to the bubble.
func blocked(h **blocking) func(*Queue) {
	return func(q *Queue) {
		*h = &blocking{began: make(chan struct{}, 16), let: make(chan struct{})}
		q.Handle("read", 0, (*h).do)
	}
}

func (h *blocking) do(ctx context.Context, _ store.Job, _ func(float64)) error {
	h.began <- struct{}{}
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-h.let:
		return nil
	}
}

func TestDone(t *testing.T) {
	var seen atomic.Value
	in(t, Options{}, func(q *Queue) {
		q.Handle("read", 0, func(_ context.Context, j store.Job, progress func(float64)) error {
			seen.Store(j.Subject + j.Payload)
			progress(0.25)
			time.Sleep(3 * time.Second)
			progress(0.5)
			progress(7) // out of range, ignored
			time.Sleep(3 * time.Second)
			return nil
		})
	}, func(b *bench) {
		j := b.add("read", "f1")
		time.Sleep(5 * time.Second)
		if got := b.job(j.ID); got.State != store.JobRunning || got.Progress != 0.5 {
			t.Errorf("while it runs: %+v", got)
		}
		if got := b.becomes(j.ID, store.JobDone); got.Progress != 1 || got.Attempts != 1 {
			t.Errorf("afterwards: %+v", got)
		}
		if seen.Load() != "f1{}" {
			t.Errorf("the handler saw %v", seen.Load())
		}
	})
}

func TestOutcomes(t *testing.T) {
	const sentence = "“a.mov” is damaged."
	for name, c := range map[string]struct {
		fail     func(attempt int) error
		want     store.JobState
		attempts int
		problem  string
	}{
		"the film's fault":     {func(int) error { return bullpen.Errorf(bullpen.Refused, sentence) }, store.JobFailed, 1, sentence},
		"our fault, always":    {func(int) error { return errors.New("out of paper") }, store.JobFailed, 3, bullpen.MessageOf(errors.New("x"))},
		"our fault, once":      {func(n int) error { return map[bool]error{true: errors.New("busy")}[n == 1] }, store.JobDone, 2, ""},
		"the disk is full":     {func(int) error { return bullpen.Errorf(bullpen.Unavailable, "The disk is full.") }, store.JobFailed, 3, "The disk is full."},
		"a panic, always":      {func(int) error { panic("no") }, store.JobFailed, 3, bullpen.MessageOf(errors.New("x"))},
		"cancelled by nobody":  {func(int) error { return context.Canceled }, store.JobFailed, 3, bullpen.MessageOf(errors.New("x"))},
		"a sentence that ends": {func(n int) error { return map[bool]error{true: bullpen.Errorf(bullpen.Internal, "x")}[n < 3] }, store.JobDone, 3, ""},
	} {
		t.Run(name, func(t *testing.T) {
			in(t, Options{}, func(q *Queue) {
				q.Handle("read", 0, func(_ context.Context, j store.Job, _ func(float64)) error { return c.fail(j.Attempts) })
			}, func(b *bench) {
				j := b.becomes(b.add("read", "f1").ID, c.want)
				if j.Attempts != c.attempts || j.Problem != c.problem {
					t.Errorf("%+v, want %d attempts and %q", j, c.attempts, c.problem)
				}
			})
		})
	}
}

func TestPausesBetweenAttempts(t *testing.T) {
	var at []time.Duration
	in(t, Options{Poll: time.Second}, func(q *Queue) {
		began := time.Now()
		q.Handle("read", 0, func(context.Context, store.Job, func(float64)) error {
			at = append(at, time.Since(began))
			return errors.New("not yet")
		})
	}, func(b *bench) {
		b.becomes(b.add("read", "f1").ID, store.JobFailed)
		if len(at) != 3 || at[1]-at[0] < 4*time.Second || at[2]-at[1] < 16*time.Second || at[2] > 30*time.Second {
			t.Errorf("attempts at %v", at)
		}
	})
}

func TestCancelAndRetry(t *testing.T) {
	var h *blocking
	in(t, Options{Workers: 1}, blocked(&h), func(b *bench) {
		running, waiting := b.add("read", "f1"), b.add("read", "f2")
		<-h.began
		if j, err := b.queue.Cancel(b.ctx, waiting.ID); err != nil || j.State != store.JobCancelled {
			t.Errorf("waiting: %+v, %v", j, err)
		}
		if _, err := b.queue.Cancel(b.ctx, running.ID); err != nil {
			t.Error(err)
		}
		b.becomes(running.ID, store.JobCancelled)
		if j, err := b.queue.Cancel(b.ctx, running.ID); err != nil || j.State != store.JobCancelled {
			t.Errorf("cancelled twice: %+v, %v", j, err)
		}
		if _, err := b.queue.Retry(b.ctx, running.ID); err != nil {
			t.Error(err)
		}
		<-h.began
		close(h.let)
		if j := b.becomes(running.ID, store.JobDone); j.Attempts != 1 {
			t.Errorf("tried again: %+v", j)
		}
		_, err := b.queue.Cancel(b.ctx, "nothing")
		if bullpen.CodeOf(err) != bullpen.NotFound {
			t.Errorf("no such job: %v", err)
		}
	})
}

// TestWhatIsRemovedStops marks a running job in the store only, as a removal does.
func TestWhatIsRemovedStops(t *testing.T) {
	var h *blocking
	in(t, Options{}, blocked(&h), func(b *bench) {
		j := b.add("read", "f1")
		<-h.began
		began := time.Now()
		if _, err := b.store.CancelJob(b.ctx, j.ID); err != nil {
			t.Fatal(err)
		}
		b.becomes(j.ID, store.JobCancelled)
		if took := time.Since(began); took > time.Second {
			t.Errorf("it stopped after %v", took)
		}
	})
}

// TestStopAndStartOver ends the program while a job runs: it goes back into the
// queue and is done in the next life, the interruption not counted. Nothing is wrong with
// that, so nothing is warned of.
func TestStopAndStartOver(t *testing.T) {
	var h *blocking
	var warned bytes.Buffer
	log := slog.New(slog.NewTextHandler(&warned, &slog.HandlerOptions{Level: slog.LevelWarn}))
	in(t, Options{Log: log}, blocked(&h), func(b *bench) {
		j := b.add("read", "f1")
		<-h.began
		b.stop()
		if warned.Len() > 0 {
			t.Errorf("a stop warns: %s", &warned)
		}
		if got := b.job(j.ID); got.State != store.JobQueued || got.Attempts != 0 {
			t.Errorf("after the stop: %+v", got)
		}
		// A life that ends without warning leaves a job that says it is running.
		if _, ok, err := b.store.ClaimJob(b.ctx, []string{"read"}, time.Hour); !ok || err != nil {
			t.Fatal(ok, err)
		}
		close(h.let)
		b.start(Options{}, func(q *Queue) { q.Handle("read", 0, h.do) })
		if got := b.becomes(j.ID, store.JobDone); got.Attempts != 2 {
			t.Errorf("in the next life: %+v", got)
		}
	})
}

func TestNeverEnding(t *testing.T) {
	in(t, Options{}, func(q *Queue) {
		q.Handle("read", 0, func(context.Context, store.Job, func(float64)) error { t.Error("begun once more"); return nil })
	}, func(b *bench) {
		b.stop()
		j := b.add("read", "f1")
		for range 3 { // three lives ended while it ran
			if _, ok, err := b.store.ClaimJob(b.ctx, []string{"read"}, time.Hour); !ok || err != nil {
				t.Fatal(ok, err)
			}
			if err := b.store.StartOverJobs(b.ctx); err != nil {
				t.Fatal(err)
			}
		}
		b.start(Options{}, func(q *Queue) {
			q.Handle("read", 0, func(context.Context, store.Job, func(float64)) error { t.Error("begun once more"); return nil })
		})
		if got := b.becomes(j.ID, store.JobFailed); !strings.Contains(got.Problem, "ended 3 times") {
			t.Errorf("%+v", got)
		}
	})
}

// TestLimits has many jobs of two kinds: never more at once than there are workers,
// or than the kind may, and never two on one subject; a slow kind leaves a worker
// to the other.
func TestLimits(t *testing.T) {
	var running, most, reads, mostReads atomic.Int32
	count := func(n, most *atomic.Int32) {
		for now, was := n.Add(1), most.Load(); now > was && !most.CompareAndSwap(was, now); was = most.Load() {
			continue
		}
	}
	var mu sync.Mutex
	busy := map[string]bool{}
	work := func(d time.Duration) Handler {
		return func(_ context.Context, j store.Job, _ func(float64)) error {
			mu.Lock()
			if busy[j.Subject] {
				t.Errorf("two at once on %s", j.Subject)
			}
			busy[j.Subject] = true
			mu.Unlock()
			count(&running, &most)
			if j.Kind == "read" {
				count(&reads, &mostReads)
			}
			time.Sleep(d)
			if j.Kind == "read" {
				reads.Add(-1)
			}
			running.Add(-1)
			mu.Lock()
			delete(busy, j.Subject)
			mu.Unlock()
			return nil
		}
	}
	in(t, Options{Workers: 3}, func(q *Queue) {
		q.Handle("read", 1, work(time.Minute))
		q.Handle("render", 0, work(time.Second))
	}, func(b *bench) {
		var films, clips []store.Job
		for i := range 4 {
			films = append(films, b.add("read", string(rune('a'+i))))
		}
		for i := range 12 {
			clips = append(clips, b.add("render", string(rune('A'+i))))
		}
		again := b.add("render", "a") // on a film that is being read: it waits
		for _, c := range clips {
			b.becomes(c.ID, store.JobDone)
		}
		if s := b.job(films[1].ID).State; s != store.JobQueued {
			t.Errorf("the clips waited for the films: the second is %s", s)
		}
		for _, f := range append(films, again) {
			b.becomes(f.ID, store.JobDone)
		}
		if most.Load() != 3 || mostReads.Load() != 1 {
			t.Errorf("%d at once, %d of them reading", most.Load(), mostReads.Load())
		}
	})
}

func TestAgain(t *testing.T) {
	for code, want := range map[bullpen.Code]bool{
		bullpen.Invalid: false, bullpen.NotFound: false, bullpen.Conflict: false, bullpen.Refused: false,
		bullpen.Unavailable: true, bullpen.Internal: true,
	} {
		if got := Again(bullpen.Errorf(code, "x")); got != want {
			t.Errorf("%s: %v", code, got)
		}
	}
}

// The store is asked for a job once for each thing that is heard of, and once for each job
// that came of it, whatever the number of workers; all of them are at work where there is
// enough to do, from the first that is woken, and not only once the store is looked at again.
func TestAskedOnce(t *testing.T) {
	var h *blocking
	const workers = 9
	in(t, Options{Workers: workers}, blocked(&h), func(b *bench) {
		asked := func() int {
			synctest.Wait()
			b.queue.mu.Lock()
			defer b.queue.mu.Unlock()
			return b.queue.asked
		}
		before := asked()
		b.add("of no kind here", "f")
		if n := asked() - before; n != 1 {
			t.Errorf("for a job of another kind the store was asked %d times", n)
		}
		for i := range workers {
			before := asked()
			b.add("read", fmt.Sprint("f", i))
			<-h.began
			if n := asked() - before; n > 2 {
				t.Errorf("for job %d the store was asked %d times", i, n)
			}
		}
	})
	in(t, Options{Workers: workers}, blocked(&h), func(b *bench) {
		b.stop()
		for i := range workers {
			b.add("read", fmt.Sprint("f", i))
		}
		const poll = time.Hour
		began := time.Now()
		b.start(Options{Workers: workers, Poll: poll}, blocked(&h)) // all of them wait already
		for range workers {
			<-h.began
		}
		if took := time.Since(began); took >= poll {
			t.Errorf("the last of them was begun after %v", took)
		}
	})
}
