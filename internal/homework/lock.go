package homework

import (
	"context"
	"io"
	"sync"

	"github.com/tus/tusd/v2/pkg/handler"
)

// A second piece sent for an upload asks whoever holds its lock to let go: the
// first may hang on a lost connection. tusd then closes the first one's body from
// another goroutine, without a lock around it. turn makes that safe: nobody is
// asked before the holder has begun to read, and nobody once it has answered.
type turn struct {
	reading chan struct{} // closed when the body is first read
	done    chan struct{} // closed when the request has been answered
}

type turnKey struct{}

func newTurn() *turn { return &turn{reading: make(chan struct{}), done: make(chan struct{})} }

// noticedBody says when its reading begins.
type noticedBody struct {
	io.ReadCloser
	begin func()
}

func (t *turn) body(b io.ReadCloser) io.ReadCloser {
	if b == nil {
		return nil
	}
	return &noticedBody{b, sync.OnceFunc(func() { close(t.reading) })}
}

func (b *noticedBody) Read(p []byte) (int, error) {
	b.begin()
	return b.ReadCloser.Read(p)
}

// politely is a locker that asks holders to let go only when they can be.
type politely struct{ handler.Locker }

func (l politely) NewLock(id string) (handler.Lock, error) {
	lock, err := l.Locker.NewLock(id)
	return politeLock{lock}, err
}

type politeLock struct{ held handler.Lock }

func (l politeLock) Unlock() error { return l.held.Unlock() }

func (l politeLock) Lock(ctx context.Context, letGo func()) error {
	t, ok := ctx.Value(turnKey{}).(*turn)
	if !ok {
		return l.held.Lock(ctx, letGo)
	}
	return l.held.Lock(ctx, func() {
		go func() {
			select {
			case <-t.reading:
				letGo()
			case <-t.done:
			}
		}()
	})
}
