// Package jobs does long work apart from requests: films are read and clips are
// rendered by workers that take jobs from the store. A job survives a restart; one
// that was under way starts over.
package jobs

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// Handler does one job. It ends soon after ctx does. progress takes the share
// done, 0 to 1, and may be called as often as one likes. An error with a
// *bullpen.Error's sentence is shown to the user; see Again for which errors are
// tried again.
type Handler func(ctx context.Context, job store.Job, progress func(done float64)) error

// Attempts is how often a job is begun at most, unless Options say otherwise: one whose program
// ended each time is likely to be why.
const Attempts = 3

// Options are the queue's settings; zero values stand for the defaults.
type Options struct {
	Workers  int           // jobs at a time; default 2
	Attempts int           // how often a job is begun at most; default Attempts
	Lease    time.Duration // for how long a worker is believed alive without a sign; default 30 s
	Poll     time.Duration // how often to look for what no signal told; default 5 s
	Log      *slog.Logger  // default: nothing is logged
	// Ended, unless nil, is told of every attempt that came to an end: its kind, how it
	// ended, how long it took and how much processor.
	Ended func(kind string, state store.JobState, took, processor time.Duration)
}

// Queue hands the store's jobs to handlers.
type Queue struct {
	store    *store.Store
	options  Options
	log      *slog.Logger
	handlers map[string]kind

	mu      sync.Mutex
	running map[string]*run // by job ID
	at      map[string]int  // how many of a kind are running
	shared  time.Duration   // this process's own time when it was last shared out among them
	away    bool            // the store could not be asked for a job the last time
	asked   int             // how often the store was asked for a job
}

// kind is a kind of job.
type kind struct {
	do     Handler
	atMost int
}

// New returns a queue over s. Register every Handler before Run.
func New(s *store.Store, o Options) *Queue {
	if o.Workers <= 0 {
		o.Workers = 2
	}
	if o.Attempts <= 0 {
		o.Attempts = Attempts
	}
	if o.Lease <= 0 {
		o.Lease = 30 * time.Second
	}
	if o.Poll <= 0 {
		o.Poll = 5 * time.Second
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return &Queue{store: s, options: o, log: o.Log, handlers: map[string]kind{}, running: map[string]*run{}, at: map[string]int{}}
}

// Handle registers the handler of a kind of job, of which no more than atMost run
// at a time; 0 is as many as there are workers. So a long film leaves a worker to
// the clips.
func (q *Queue) Handle(name string, atMost int, h Handler) {
	if atMost <= 0 {
		atMost = q.options.Workers
	}
	q.handlers[name] = kind{h, atMost}
}

// Run works until ctx ends; then the jobs under way are told to stop and go back
// into the queue, and Run returns nil when the last has. What ran when the last
// program ended starts over, so only one Run may be at work on a data folder.
func (q *Queue) Run(ctx context.Context) error {
	for {
		err := q.tidy(ctx)
		if ctx.Err() != nil {
			return nil
		}
		if err == nil {
			break
		}
		if !errors.Is(err, bullpen.ErrAway) {
			return err
		}
		q.note(ctx, err) // a program that begins in a bad moment is not a program less
		select {
		case <-ctx.Done():
		case <-time.After(q.options.Poll):
		}
	}
	changes, stop := q.store.Watch()
	defer stop()
	wake := make(chan struct{}, 1)
	var workers sync.WaitGroup
	defer workers.Wait()
	for range q.options.Workers {
		workers.Go(func() { q.work(ctx, wake) })
	}
	one(wake)
	poll := time.NewTicker(q.options.Poll)
	defer poll.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case c := <-changes:
			if !c.Queue {
				continue
			}
			q.stopCancelled(ctx)
		case <-poll.C:
		}
		one(wake)
	}
}

// one wakes one worker, the next that waits. Who gets a job wakes another in turn: most of what
// is heard of is a job for one of all programs, or for none, and each asking takes a turn of
// all of them at the store.
func one(wake chan<- struct{}) {
	select {
	case wake <- struct{}{}:
	default: // one is about to wake
	}
}

// remembered is how long a job is kept that is over.
const remembered = 7 * 24 * time.Hour

// tidy queues again what ran when the last program ended, and forgets what is long
// over.
func (q *Queue) tidy(ctx context.Context) error {
	if err := q.store.StartOverJobs(ctx); err != nil {
		return err
	}
	return q.store.ForgetJobs(ctx, time.Now().Add(-remembered))
}

// work takes jobs one after the other, as long as there are any, whenever it is woken, until
// ctx ends.
func (q *Queue) work(ctx context.Context, wake chan struct{}) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-wake:
		}
		for ctx.Err() == nil && q.next(ctx, wake) {
		}
	}
}

// next does one job, if there is one to do, and wakes another worker to look for more.
func (q *Queue) next(ctx context.Context, wake chan<- struct{}) bool {
	job, ok, err := q.take(ctx)
	if ctx.Err() == nil {
		q.note(ctx, err)
	}
	if !ok {
		return false
	}
	one(wake)
	q.do(ctx, job)
	q.mu.Lock()
	q.at[job.Kind]--
	q.mu.Unlock()
	return true
}

// note says once that no job can be taken, and once that they can again: a database that is
// away for an hour is one thing to know of, not thousands.
func (q *Queue) note(ctx context.Context, err error) {
	q.mu.Lock()
	was := q.away
	q.away = err != nil
	q.mu.Unlock()
	switch {
	case err != nil && !was:
		q.log.WarnContext(ctx, "no job can be taken; it is tried again", "err", err)
	case err == nil && was:
		q.log.InfoContext(ctx, "jobs can be taken again")
	}
}

// take claims a job of a kind that may run now. Only one worker takes at a time, so
// that no two go beyond what a kind may.
func (q *Queue) take(ctx context.Context) (store.Job, bool, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	var free []string
	for name, k := range q.handlers {
		if q.at[name] < k.atMost {
			free = append(free, name)
		}
	}
	if len(free) == 0 {
		return store.Job{}, false, nil
	}
	q.asked++
	job, ok, err := q.store.ClaimJob(ctx, free, q.options.Lease)
	if ok {
		q.at[job.Kind]++
	}
	return job, ok, err
}

// Cancel takes a waiting job out of the queue, and stops a running one. A job that
// has ended stays as it is.
func (q *Queue) Cancel(ctx context.Context, id string) (store.Job, error) {
	job, err := q.store.CancelJob(ctx, id)
	if err == nil && job.State == store.JobRunning {
		q.stop(id)
	}
	return job, err
}

// Retry queues a job again that failed or was cancelled.
func (q *Queue) Retry(ctx context.Context, id string) (store.Job, error) {
	return q.store.RetryJob(ctx, id)
}

// errCancelled and errLost are why a running job's context ended.
var (
	errCancelled = errors.New("the job was cancelled")
	errLost      = errors.New("the job is no longer this worker's")
)

// stop ends a running job because somebody asked for it.
func (q *Queue) stop(id string) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if r := q.running[id]; r != nil {
		r.cancel(errCancelled)
	}
}

// stopCancelled ends the running jobs that are marked so in the store: what they
// work on was removed.
func (q *Queue) stopCancelled(ctx context.Context) {
	ids, err := q.store.Cancelling(ctx)
	if err != nil && ctx.Err() == nil {
		q.log.WarnContext(ctx, "whether a job has to stop can't be read", "err", err)
	}
	for _, id := range ids {
		q.stop(id)
	}
}
