package server

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

const (
	// patience is how long a listener may take to swallow one event.
	patience = 10 * time.Second
	// settle lets a burst of changes to jobs become one look at them.
	settle = 50 * time.Millisecond
)

func (s *Server) eventRoutes() {
	s.stream(s.eventsOp(), "", s.events)
}

// eventsOp describes the stream: its two kinds of event are in the document as
// schemas, though OpenAPI has no words for server-sent events themselves.
func (s *Server) eventsOp() huma.Operation {
	o := op("events", http.MethodGet, "/api/events", "Server-sent events: job (a Job) and bullpen (a BullpenEvent)")
	o.Responses = map[string]*huma.Response{"200": content("OK", "text/event-stream", &huma.Schema{
		OneOf: []*huma.Schema{schema[wire.Job](s), schema[wire.BullpenEvent](s)},
	})}
	return o
}

// events tells a page what changes. There is nothing to catch up on: whoever
// connects is first told every unfinished job, and reads its bullpen again when it
// hears of a newer revision, so that a Last-Event-ID needs no memory here.
func (s *Server) events(c *gin.Context) error {
	changes, stop := s.deps.Store.Watch()
	defer stop()
	ctx := c.Request.Context()
	c.Header("Content-Type", "text/event-stream")
	out := &eventWriter{w: c.Writer, rc: http.NewResponseController(c.Writer), may: func() error { return s.stillIn(ctx) }}
	err := out.comment("tenoff")
	beat := time.NewTicker(s.heartbeat)
	defer beat.Stop()
	told := jobTeller{store: s.deps.Store}
	look := time.After(0) // what is unfinished is told at once
	for err == nil {
		select {
		case <-ctx.Done():
			return nil
		case <-s.closing:
			return nil
		case <-beat.C:
			err = out.comment("still here")
		case change := <-changes:
			if change.BullpenID != "" && s.deps.Store.Own(ctx, change) {
				err = out.send("bullpen", wire.BullpenEvent{BullpenID: change.BullpenID, Revision: change.Revision})
			}
			if change.Sessions {
				err = out.comment("somebody was signed out") // who it was hears no more
			}
			if change.Jobs && look == nil {
				look = time.After(settle)
			}
		case <-look:
			look = nil
			err = told.tell(ctx, out)
		}
	}
	if ctx.Err() != nil || errors.Is(err, errSignedOut) {
		return nil // the listener is gone
	}
	return err
}

var errSignedOut = errors.New("signed out")

// stillIn returns errSignedOut when the session is over that a request began with: a
// stream may outlive it.
func (s *Server) stillIn(ctx context.Context) error {
	c := callerOf(ctx)
	if c.open {
		return nil
	}
	_, ok, err := s.deps.Store.Session(ctx, c.token)
	if err == nil && !ok {
		err = errSignedOut
	}
	return err
}

// jobTeller turns "a job changed" into the jobs that did.
type jobTeller struct {
	store *store.Store
	last  []wire.Job // those that are not over, as told
}

// tell sends every job that is not as it was told last.
func (t *jobTeller) tell(ctx context.Context, out *eventWriter) error {
	open, err := t.store.Jobs(ctx, "")
	if err != nil {
		return err
	}
	now := jobsOf(open)
	for _, job := range now {
		if slices.Contains(t.last, job) {
			continue
		}
		if err := out.send("job", job); err != nil {
			return err
		}
	}
	for _, job := range t.last {
		if slices.ContainsFunc(now, func(j wire.Job) bool { return j.ID == job.ID }) {
			continue
		}
		over, err := t.store.Job(ctx, job.ID)
		if err != nil {
			continue // forgotten already: there is nothing to say of it
		}
		if err := out.send("job", jobOf(over)); err != nil {
			return err
		}
	}
	t.last = now
	return nil
}

// eventWriter writes server-sent events, each within patience, as long as its listener
// may hear them.
type eventWriter struct {
	w    gin.ResponseWriter
	rc   *http.ResponseController
	may  func() error
	last int
}

func (o *eventWriter) comment(text string) error { return o.write([]byte(": " + text + "\n\n")) }

func (o *eventWriter) send(event string, data any) error {
	text, err := json.Marshal(data)
	if err != nil {
		return err
	}
	o.last++
	return o.write(fmt.Appendf(nil, "id: %d\nevent: %s\ndata: %s\n\n", o.last, event, text))
}

func (o *eventWriter) write(p []byte) error {
	if err := o.may(); err != nil {
		return err
	}
	if err := o.rc.SetWriteDeadline(time.Now().Add(patience)); err != nil {
		return err
	}
	if _, err := o.w.Write(p); err != nil {
		return err
	}
	return o.rc.Flush()
}
