// Package throttle lets bulky work, films that arrive and are hashed, go on beside the
// answers that somebody waits for.
package throttle

import (
	"context"
	"io"
	"runtime"
	"sync"
	"time"

	"golang.org/x/sync/semaphore"
)

// Piece is how much of a film is worked on at a time, bytes: so little that whoever
// waits for it to be done notices nothing, and so much that taking turns costs
// nothing.
const Piece = 256 << 10

// Patience is how long a piece gives way at most, so that a film comes in however
// much is asked meanwhile.
const Patience = 50 * time.Millisecond

// Throttle is what bulky work goes along, piece by piece: only so many pieces at once, in
// the order they came, and none while an answer is being made, unless that takes
// longer than Patience. Its methods may be used by several goroutines.
type Throttle struct {
	room *semaphore.Weighted

	mu      sync.Mutex
	answers int           // under way
	quiet   chan struct{} // closed when there are none any more
}

// New returns a throttle with room for as many pieces at once as there are processors
// to work on them. More would keep each other, and the answers, waiting.
func New() *Throttle { return newThrottle(runtime.GOMAXPROCS(0)) }

func newThrottle(width int) *Throttle { return &Throttle{room: semaphore.NewWeighted(int64(width))} }

// Answering has pieces give way until done is called.
func (l *Throttle) Answering() (done func()) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.answers == 0 {
		l.quiet = make(chan struct{})
	}
	l.answers++
	return sync.OnceFunc(func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		if l.answers--; l.answers == 0 {
			close(l.quiet)
		}
	})
}

// do does a part of a piece, giving way before it if it is the first one. It fails,
// without having done it, when ctx ends before.
func (l *Throttle) do(ctx context.Context, first bool, work func()) error {
	if err := l.room.Acquire(ctx, 1); err != nil {
		return err
	}
	defer l.room.Release(1)
	if first {
		if err := l.giveWay(ctx); err != nil {
			return err
		}
	}
	work()
	return nil
}

// giveWay waits until no answer is under way, Patience at most.
func (l *Throttle) giveWay(ctx context.Context) error {
	patience := time.NewTimer(Patience)
	defer patience.Stop()
	for {
		l.mu.Lock()
		busy, quiet := l.answers > 0, l.quiet
		l.mu.Unlock()
		if !busy {
			return nil
		}
		select {
		case <-quiet:
		case <-patience.C:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

// Writer returns w, along the lane: it gives way once for every Piece, however little of
// it is written at a time. A connection gives little, an encrypted one 16 KiB at most
// (RFC 8446, 5.1); giving way for each of them, films would hardly come in beside
// answers, and what has come is not held back until there is a piece of it. It fails
// when ctx ends.
func (l *Throttle) Writer(ctx context.Context, w io.Writer) io.Writer {
	return &writer{ctx: ctx, lane: l, w: w}
}

type writer struct {
	ctx  context.Context
	lane *Throttle
	w    io.Writer
	left int // bytes of the piece it has given way for
}

func (w *writer) Write(p []byte) (n int, err error) {
	first := w.left <= 0
	if e := w.lane.do(w.ctx, first, func() { n, err = w.w.Write(p) }); e != nil {
		return 0, e
	}
	if first {
		w.left += Piece
	}
	w.left -= n
	return n, err
}

// Copy copies r into w, at most a piece at a time, and returns how much it copied. What
// came before r failed is copied.
func (l *Throttle) Copy(ctx context.Context, w io.Writer, r io.Reader) (int64, error) {
	// Neither end may do the copying: it would in pieces of its own size.
	return io.CopyBuffer(l.Writer(ctx, w), struct{ io.Reader }{r}, make([]byte, Piece))
}
