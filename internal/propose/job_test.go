package propose

import (
	"context"
	"testing"
	"time"

	"tenoff/internal/jobs"
	"tenoff/internal/store"
)

// work is a program's queue, which runs until its end has come; midway is called the
// first time that a search for instants tells how far it is.
func (h house) work(t *testing.T, midway func(q *jobs.Queue, stop context.CancelFunc), until func() bool) {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	q := jobs.New(h.store, jobs.Options{Workers: 1})
	q.Handle(InstantsKind, 1, func(ctx context.Context, job store.Job, progress func(float64)) error {
		told := false
		return h.proposer.FindInstants(ctx, job, func(done float64) {
			progress(done)
			if !told && midway != nil {
				told = true
				midway(q, stop)
			}
		})
	})
	changes, unwatch := h.store.Watch()
	defer unwatch()
	ended := make(chan error, 1)
	go func() { ended <- q.Run(ctx) }()
	for !until() {
		select {
		case err := <-ended:
			if err != nil {
				t.Fatal(err)
			}
			return
		case <-changes:
		}
	}
	stop()
	if err := <-ended; err != nil {
		t.Fatal(err)
	}
}

// The search for instants is a job like others: it starts over when the program was
// stopped or killed in the midst of it, it can be cancelled, and tried again.
func TestTheSearchOutlivesTheProgram(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t)
	h.followAgain(t)
	id := h.queued(t)[0].ID
	is := func(want store.JobState) func() bool {
		return func() bool {
			job, err := h.store.Job(t.Context(), id)
			if err != nil {
				t.Fatal(err)
			}
			return job.State == want
		}
	}
	kept := func() int {
		found, err := h.store.Instants(t.Context(), h.pen.ID)
		if err != nil {
			t.Fatal(err)
		}
		return len(found)
	}

	// Cancelled in the midst, nothing of it is kept; it can be tried again.
	h.work(t, func(q *jobs.Queue, _ context.CancelFunc) {
		if _, err := q.Cancel(t.Context(), id); err != nil {
			t.Error(err)
		}
	}, is(store.JobCancelled))
	if !is(store.JobCancelled)() || kept() != 0 {
		t.Fatalf("cancelled: %d reps kept", kept())
	}
	if job, err := jobs.New(h.store, jobs.Options{}).Retry(t.Context(), id); err != nil || job.State != store.JobQueued {
		t.Fatalf("again: %+v, %v", job, err)
	}

	// The program is stopped in the midst: the job waits for the next one.
	h.work(t, func(_ *jobs.Queue, stop context.CancelFunc) { stop() }, func() bool { return false })
	if !is(store.JobQueued)() || kept() != 0 {
		t.Fatalf("stopped: %d reps kept", kept())
	}

	// The program is killed: nobody gives back what it had claimed for an hour.
	if job, ok, err := h.store.ClaimJob(t.Context(), []string{InstantsKind}, time.Hour); err != nil || !ok || job.ID != id {
		t.Fatalf("%+v, %v, %v", job, ok, err)
	}
	h.work(t, nil, is(store.JobDone))
	if kept() != len(reps) {
		t.Errorf("%d of %d reps followed in the end", kept(), len(reps))
	}
	if n := h.followAgain(t); n != 0 {
		t.Errorf("%d jobs though nothing changed", n)
	}
}
