package homework

import (
	"context"
	"errors"
	"io"
	"net/http"
	"sync"
	"time"

	"github.com/tus/tusd/v2/pkg/handler"

	"tenoff/internal/bullpen"
)

// turn is one request's hold on an upload. A second piece sent for the upload asks
// the holder to let go: the first may hang on a lost connection. tusd would close
// the holder's body from another goroutine, with nothing to order the two; here
// the body itself ends instead, as if the connection had been lost.
type turn struct {
	io.ReadCloser // the request's body
	connection    *http.ResponseController

	mu       sync.Mutex
	upload   string                // its ID, "" until it has one
	why      func(id string) error // what the holder is told; nil: errElsewhere
	stopped  error                 // what the holder was told when it was asked to let go
	answered bool                  // the connection is for the next request
}

type turnKey struct{}

func newTurn(w http.ResponseWriter, body io.ReadCloser) *turn {
	if body == nil {
		body = http.NoBody
	}
	return &turn{ReadCloser: body, connection: http.NewResponseController(w)}
}

// errElsewhere answers whoever had to let go, or waited in vain: status 423.
var errElsewhere = refuseAs(http.StatusLocked, bullpen.Errorf(bullpen.Conflict, "This film is being sent in another window; it goes on there."))

// errGivenUp answers whoever sends a film that is not wanted any more.
var errGivenUp = refuse(bullpen.Errorf(bullpen.NotFound, "This film was given up while it arrived: its link was closed, or its homework removed."))

// errBroken answers whoever sent a film of which not what was sent is here.
var errBroken = refuse(bullpen.Errorf(bullpen.NotFound, "What was sent did not arrive whole; send it again."))

// given names the upload that the turn holds.
func (t *turn) given(id string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.upload = id
}

func (t *turn) asked() error {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.stopped
}

func (t *turn) Read(p []byte) (int, error) {
	if err := t.asked(); err != nil {
		return 0, err
	}
	n, err := t.ReadCloser.Read(p)
	if asked := t.asked(); err != nil && err != io.EOF && asked != nil {
		err = asked
	}
	return n, err
}

// letGo ends the body, also while it is being waited for.
func (t *turn) letGo() {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.stopped != nil || t.answered {
		return
	}
	t.stopped = errElsewhere
	if t.why != nil {
		t.stopped = t.why(t.upload)
	}
	_ = t.connection.SetReadDeadline(time.Now()) // an error means that the connection is gone already
}

// whole takes the time limits off the connection: all of the body is here, and what
// is done with it takes the time it takes.
func (t *turn) whole() {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.stopped != nil {
		return
	}
	_ = t.connection.SetReadDeadline(time.Time{}) // an error means that the connection is gone already
	_ = t.connection.SetWriteDeadline(time.Time{})
}

// answer notes that the request is being answered with head: from now on nobody
// touches its connection. If somebody did, it ends with this answer: net/http takes a
// deadline that passed after the body was read for the client's going away, and every
// later request on the connection would be born cancelled.
func (t *turn) answer(head http.Header) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.answered = true
	if t.stopped != nil {
		head.Set("Connection", "close")
	}
}

// politely is a locker whose holders let go by the end of their bodies.
type politely struct{ handler.Locker }

func (l politely) NewLock(id string) (handler.Lock, error) {
	lock, err := l.Locker.NewLock(id)
	return politeLock{lock}, err
}

type politeLock struct{ held handler.Lock }

func (l politeLock) Unlock() error { return l.held.Unlock() }

func (l politeLock) Lock(ctx context.Context, letGo func()) error {
	if t, ok := ctx.Value(turnKey{}).(*turn); ok {
		letGo = t.letGo
	}
	err := l.held.Lock(ctx, letGo)
	if errors.Is(err, handler.ErrLockTimeout) {
		return errElsewhere
	}
	return err
}
