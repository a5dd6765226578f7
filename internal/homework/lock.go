package homework

import (
	"context"
	"io"
	"net/http"
	"os"
	"sync/atomic"
	"time"

	"github.com/tus/tusd/v2/pkg/handler"
)

// turn is one request's hold on an upload. A second piece sent for the upload asks
// the holder to let go: the first may hang on a lost connection. tusd would close
// the holder's body from another goroutine, with nothing to order the two; here
// the body itself ends instead, as if the connection had been lost.
type turn struct {
	io.ReadCloser // the request's body
	stopped       atomic.Bool
	connection    *http.ResponseController
	done          chan struct{} // closed when the request has been answered
}

type turnKey struct{}

func newTurn(w http.ResponseWriter, body io.ReadCloser) *turn {
	if body == nil {
		body = http.NoBody
	}
	return &turn{ReadCloser: body, connection: http.NewResponseController(w), done: make(chan struct{})}
}

func (t *turn) Read(p []byte) (int, error) {
	if t.stopped.Load() {
		return 0, os.ErrDeadlineExceeded
	}
	return t.ReadCloser.Read(p)
}

// letGo ends the body, also while it is being waited for.
func (t *turn) letGo() {
	t.stopped.Store(true)
	select {
	case <-t.done:
	default:
		// An error means that the connection is gone already.
		_ = t.connection.SetReadDeadline(time.Now())
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
	return l.held.Lock(ctx, letGo)
}
