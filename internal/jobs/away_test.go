package jobs

import (
	"bytes"
	"context"
	"log/slog"
	"strings"
	"testing"
	"time"

	"tenoff/internal/errand"
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
		if err := b.store.AddSpent(b.ctx, "read", 1500*time.Millisecond); err != nil { // another job's, on whose time this one's comes
			t.Fatal(err)
		}
		j, err := b.store.AddJob(errand.With(b.ctx, "abc"), store.NewJob{Kind: "read", Subject: "f1", Payload: "{}"})
		if err != nil {
			t.Fatal(err)
		}
		b.becomes(j.ID, store.JobDone)
		b.stop()
		uses, err := b.store.Uses(b.ctx, "", []string{"read"})
		if err != nil || len(uses) != 1 || uses[0].FilmsRead != 2 || uses[0].Waiting != 0 || uses[0].Processor < 1500*time.Millisecond || uses[0].Processor > time.Minute {
			t.Errorf("used %+v, %v", uses, err)
		}
	})
	if !strings.Contains(said.String(), "errand=abc") || len(ended) != 1 || ended[0] != "read done" {
		t.Errorf("ended %v: %s", ended, &said)
	}
}
