package jobs

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math"
	"runtime/debug"
	"sync/atomic"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/errand"
	"tenoff/internal/proc"
	"tenoff/internal/store"
)

// run is one attempt at one job.
type run struct {
	job    store.Job
	cancel context.CancelCauseFunc
	done   atomic.Uint64 // share done, as float bits
	spent  proc.Meter    // by the programs that it started
	own    time.Duration // its share of what this process itself spent; the queue's to hold
}

func (r *run) progress(done float64) {
	if done >= 0 && done <= 1 {
		r.done.Store(math.Float64bits(done))
	}
}

// do makes one attempt at a job and says in the store how it ended.
func (q *Queue) do(ctx context.Context, job store.Job) {
	ctx = errand.With(store.Within(ctx, job.Academy), job.Errand)
	log := q.log.With("job", job.ID, "kind", job.Kind, "subject", job.Subject, "attempt", job.Attempts)
	began := time.Now()
	processor, err := q.attempt(ctx, job)
	if errors.Is(err, errLost) { // whoever has it now says how it ends
		log.InfoContext(ctx, "job goes on elsewhere")
		return
	}
	state, problem := q.outcome(ctx, job, err)
	if q.options.Ended != nil {
		q.options.Ended(job.Kind, state, time.Since(began), processor)
	}
	switch state {
	case store.JobDone, store.JobCancelled:
		log.InfoContext(ctx, "job "+string(state), "seconds", time.Since(began).Seconds(), "processor", processor.Seconds())
	case store.JobQueued:
		level := slog.LevelWarn
		if ctx.Err() != nil { // the program is being stopped: nothing is wrong
			level = slog.LevelInfo
		}
		log.Log(ctx, level, "job goes back into the queue", "err", err)
	default:
		log.ErrorContext(ctx, "job failed", "err", err)
	}
	spared, wait := ctx.Err() != nil, pause(job.Attempts, ctx.Err() != nil)
	if errors.Is(err, bullpen.ErrAway) {
		spared, wait = true, Away
	}
	err = q.told(ctx, func(ctx context.Context) error {
		if state == store.JobQueued {
			return q.store.ReturnJob(ctx, job.ID, job.Claim, spared, wait, processor)
		}
		return q.store.EndJob(ctx, job.ID, job.Claim, state, problem, processor)
	})
	if err != nil {
		log.ErrorContext(ctx, "the end of a job can't be stored; it will start over", "err", err)
	}
}

// told has the store told how a job ended, also while the program is being stopped. Where the
// database is away it is told as soon as it is back, however long that takes: what was done is
// not done again, and none of its attempts goes, unless the lease is over by then and another
// program was faster to claim it. What is told by a claim that is no longer the job's
// changes nothing.
func (q *Queue) told(ctx context.Context, tell func(context.Context) error) error {
	for {
		telling, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
		err := tell(telling)
		cancel()
		if !errors.Is(err, bullpen.ErrAway) || ctx.Err() != nil {
			return err
		}
		select {
		case <-ctx.Done():
		case <-time.After(time.Second):
		}
	}
}

// attempt runs the handler, keeping the lease alive beside it. processor is what that took.
func (q *Queue) attempt(ctx context.Context, job store.Job) (processor time.Duration, err error) {
	if job.Attempts > q.options.Attempts {
		return 0, bullpen.Errorf(bullpen.Invalid, "tenoff ended %d times in the middle of this, so it is not begun again by itself. Try it once more; if tenoff ends again, export the film anew and send that.", job.Attempts-1)
	}
	ctx, cancel := context.WithCancelCause(ctx)
	r := &run{job: job, cancel: cancel}
	q.mu.Lock()
	q.share()
	q.running[job.ID] = r
	q.mu.Unlock()
	held := make(chan struct{})
	go func() {
		defer close(held)
		q.hold(ctx, r)
	}()
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("job %s: %v\n%s", job.Kind, p, debug.Stack())
		}
		q.mu.Lock()
		q.share()
		delete(q.running, job.ID)
		q.mu.Unlock()
		processor = r.own + r.spent.Spent()
		cause := context.Cause(ctx)
		cancel(nil)
		<-held
		if err != nil && cause != nil {
			err = cause
		}
	}()
	return 0, q.handlers[job.Kind].do(proc.Metered(ctx, &r.spent), job, r.progress)
}

// share shares out what this process itself has spent since the last time among the jobs
// that run, as much to each: whose thread it was on is not known. Answers are in it where
// the process gives any. Called with the lock held, whenever one begins or ends.
func (q *Queue) share() {
	now := proc.Own()
	for _, r := range q.running {
		r.own += (now - q.shared) / time.Duration(len(q.running))
	}
	q.shared = now
}

// hold renews the lease, tells progress, and ends the job if somebody asks for it
// or the lease is lost.
func (q *Queue) hold(ctx context.Context, r *run) {
	tick := time.NewTicker(min(q.options.Lease/10, time.Second))
	defer tick.Stop()
	renewed, told := time.Now(), 0.0
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		done := math.Float64frombits(r.done.Load())
		if done == told && time.Since(renewed) < q.options.Lease/3 {
			continue
		}
		cancelling, err := q.store.HoldJob(ctx, r.job.ID, r.job.Claim, done, q.options.Lease)
		switch {
		case ctx.Err() != nil:
			return
		case bullpen.CodeOf(err) == bullpen.NotFound:
			r.cancel(errLost)
			return
		case err != nil:
			q.log.WarnContext(ctx, "a job's lease can't be renewed", "job", r.job.ID, "err", err)
			continue
		case cancelling:
			r.cancel(errCancelled)
			return
		}
		renewed, told = time.Now(), done
	}
}

// outcome says how an attempt ended that returned err.
func (q *Queue) outcome(ctx context.Context, job store.Job, err error) (store.JobState, string) {
	switch {
	case err == nil:
		return store.JobDone, ""
	case errors.Is(err, errCancelled):
		return store.JobCancelled, ""
	case ctx.Err() != nil:
		return store.JobQueued, "" // the program is being stopped
	case errors.Is(err, bullpen.ErrAway): // that is none of the job's fault
		return store.JobQueued, ""
	case Again(err) && job.Attempts < q.options.Attempts:
		return store.JobQueued, ""
	}
	return store.JobFailed, bullpen.MessageOf(err)
}

// Again reports whether a job that failed with err is worth another attempt: not
// if the error says that it is the film's or the user's fault.
func Again(err error) bool {
	switch bullpen.CodeOf(err) {
	case bullpen.Internal, bullpen.Unavailable:
		return true
	}
	return false
}

// Away is how long a job waits whose film's storage, or whose database, does not answer.
const Away = 10 * time.Second

// pause is how long a job waits before it is tried again: not at all when it was
// only interrupted, else 4 s, 16 s, 64 s ...
func pause(attempts int, interrupted bool) time.Duration {
	if interrupted {
		return 0
	}
	return time.Duration(1<<(2*min(attempts, 5))) * time.Second
}
