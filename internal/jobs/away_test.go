package jobs

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"tenoff/internal/errand"
	"tenoff/internal/postgres/cluster"
	"tenoff/internal/store"
)

// A database that is away is one thing to know of, however often it is asked; that it is
// back is another.
func TestAwayIsSaidOnce(t *testing.T) {
	var said bytes.Buffer
	q := New(nil, Options{Log: slog.New(slog.NewTextHandler(&said, nil))})
	for _, err := range []error{nil, errLost, errLost, errCancelled, nil, nil, errLost} {
		q.note(t.Context(), err)
	}
	warned, back := strings.Count(said.String(), "level=WARN"), strings.Count(said.String(), "can be taken again")
	if warned != 2 || back != 1 || strings.Contains(said.String(), "level=ERROR") {
		t.Errorf("%d warnings and %d times back: %s", warned, back, &said)
	}
}

// A queue that begins while the database is away waits for it. A database that goes while a
// job is under way costs the job no attempt, and what was done meanwhile is not done again,
// also where the lease is over before it is back.
func TestTheDatabaseGoes(t *testing.T) {
	ctx := t.Context()
	server, err := cluster.Start(ctx)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := server.Close(); err != nil {
			t.Error(err)
		}
	}()
	s, err := store.OpenPostgres(ctx, server.Address("postgres"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	back := make(chan error, 2)
	gone := func() error { // for two seconds
		err := server.Crash()
		time.AfterFunc(2*time.Second, func() { back <- server.Restart(ctx) })
		return err
	}
	tries := map[string]*atomic.Int32{"done": {}, "asks": {}}
	var said bytes.Buffer
	q := New(s, Options{Attempts: 1, Workers: 1, Lease: 500 * time.Millisecond, Poll: 100 * time.Millisecond, Log: slog.New(slog.NewTextHandler(&said, nil))})
	q.Handle("done", 0, func(_ context.Context, j store.Job, _ func(float64)) error {
		tries[j.Kind].Add(1)
		return gone()
	})
	q.Handle("asks", 0, func(ctx context.Context, j store.Job, _ func(float64)) error {
		if tries[j.Kind].Add(1) > 1 {
			return nil
		}
		err := gone()
		_, asked := s.Job(ctx, j.ID)
		return errors.Join(err, asked)
	})
	if err := gone(); err != nil {
		t.Fatal(err)
	}
	running, stop := context.WithCancel(ctx)
	ended := make(chan error, 1)
	go func() { ended <- q.Run(running) }()
	if err := <-back; err != nil {
		t.Fatal(err)
	}
	want := map[string]int32{"done": 1, "asks": 2}
	for _, kind := range []string{"done", "asks"} {
		j, err := s.AddJob(ctx, store.NewJob{Kind: kind, Subject: kind, Payload: "{}"})
		if err != nil {
			t.Fatal(err)
		}
		for began := time.Now(); j.State != store.JobDone; time.Sleep(50 * time.Millisecond) {
			if now, err := s.Job(ctx, j.ID); err == nil {
				j = now
			}
			if j.State == store.JobFailed || time.Since(began) > 2*time.Minute {
				t.Errorf("%s: %s %s", kind, j.State, j.Problem)
				break
			}
		}
		if err := <-back; err != nil {
			t.Error(err)
		}
		if n := tries[kind].Load(); j.Attempts != 1 || n != want[kind] {
			t.Errorf("%s: attempt %d after %d tries, want the first after %d", kind, j.Attempts, n, want[kind])
		}
	}
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if t.Failed() {
		t.Log(said.String())
	}
}

// A job's lines name the request that it follows from, and what it took is counted.
func TestErrandAndSpent(t *testing.T) {
	var said bytes.Buffer
	var ended []string
	o := Options{Log: slog.New(errand.Log(slog.NewTextHandler(&said, nil))), Ended: func(kind string, state store.JobState, _, _ time.Duration) {
		ended = append(ended, kind+" "+string(state))
	}}
	in(t, o, func(q *Queue) {
		q.Handle("read", 0, func(context.Context, store.Job, func(float64)) error { return nil })
	}, func(b *bench) {
		synctest.Wait() // until the queue has begun, and put back what an earlier one left running
		// Another program's, on whose time this one's comes; its answer is lost and it is said again.
		_, err := b.store.AddJob(b.ctx, store.NewJob{Kind: "read elsewhere", Subject: "f0", Payload: "{}"})
		if err != nil {
			t.Fatal(err)
		}
		elsewhere, _, err := b.store.ClaimJob(b.ctx, []string{"read elsewhere"}, time.Hour)
		for range 2 {
			err = errors.Join(err, b.store.EndJob(b.ctx, elsewhere.ID, elsewhere.Claim, store.JobDone, "", 1500*time.Millisecond))
		}
		if err != nil {
			t.Fatal(err)
		}
		j, err := b.store.AddJob(errand.With(b.ctx, "abc"), store.NewJob{Kind: "read", Subject: "f1", Payload: "{}"})
		if err != nil {
			t.Fatal(err)
		}
		b.becomes(j.ID, store.JobDone)
		b.stop()
		uses, err := b.store.Uses(b.ctx, "", []string{"read", "read elsewhere"})
		if err != nil || len(uses) != 1 || uses[0].FilmsRead != 2 || uses[0].Waiting != 0 || uses[0].Processor < 1500*time.Millisecond || uses[0].Processor >= 3*time.Second {
			t.Errorf("used %+v, %v", uses, err)
		}
	})
	if !strings.Contains(said.String(), "errand=abc") || len(ended) != 1 || ended[0] != "read done" {
		t.Errorf("ended %v: %s", ended, &said)
	}
}
