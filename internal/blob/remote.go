package blob

import (
	"context"
	"errors"
	"io"
	"sync"
	"time"
)

// remote is a File in an object storage. It asks for it piece by piece, the larger the more
// is read on and on: a player that jumps about gets little that it does not want.
type remote struct {
	ctx    context.Context
	of     *bucket
	object string
	size   int64

	mu     sync.Mutex
	at     int64 // of Read and Seek
	piece  io.ReadCloser
	from   int64 // where the next byte of piece lies
	to     int64 // where piece ends
	last   int64 // how large the last piece was, bytes
	cancel context.CancelFunc
	closed bool
}

const (
	smallest = 256 << 10
	largest  = 8 << 20
	// stall is how long a piece may stand still before it is given up.
	stall = 30 * time.Second
)

// Size implements File.
func (r *remote) Size() int64 { return r.size }

// Seek implements io.Seeker.
func (r *remote) Seek(offset int64, whence int) (int64, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	switch whence {
	case io.SeekCurrent:
		offset += r.at
	case io.SeekEnd:
		offset += r.size
	}
	if offset < 0 {
		return r.at, errors.New("seeking before the beginning of a file")
	}
	r.at = offset
	return offset, nil
}

// Read implements io.Reader.
func (r *remote) Read(p []byte) (int, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	n, err := r.readAt(p, r.at)
	r.at += int64(n)
	return n, err
}

// ReadAt implements io.ReaderAt.
func (r *remote) ReadAt(p []byte, at int64) (n int, err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for n < len(p) {
		m, err := r.readAt(p[n:], at+int64(n))
		n += m
		if err != nil {
			return n, err
		}
	}
	return n, nil
}

// readAt reads some of what lies at a place.
func (r *remote) readAt(p []byte, at int64) (int, error) {
	switch {
	case r.closed:
		return 0, errors.New("reading a file that was closed")
	case at >= r.size:
		return 0, io.EOF
	case len(p) == 0:
		return 0, nil
	}
	if err := r.have(at, int64(len(p))); err != nil {
		return 0, explain(err)
	}
	watch := time.AfterFunc(stall, r.cancel)
	n, err := r.piece.Read(p[:min(int64(len(p)), r.to-r.from)])
	watch.Stop()
	r.from += int64(n)
	if n > 0 {
		return n, nil // what else there is to say is said the next time
	}
	r.drop()
	if err == nil || err == io.EOF {
		err = io.ErrUnexpectedEOF
	}
	if r.ctx.Err() != nil {
		return 0, r.ctx.Err()
	}
	return 0, explain(err)
}

// have has the piece that begins at a place at hand, of which so many bytes are wanted.
func (r *remote) have(at, want int64) error {
	if r.piece != nil && r.from == at && r.from < r.to {
		return nil
	}
	goesOn := r.piece != nil && r.from == at
	r.drop()
	r.last = min(max(smallest, want), largest)
	if goesOn {
		r.last = largest
	}
	ctx, cancel := context.WithCancel(r.ctx)
	to := min(at+r.last, r.size)
	piece, err := r.of.get(ctx, r.object, at, to)
	if err != nil {
		cancel()
		return err
	}
	r.piece, r.from, r.to, r.cancel = piece, at, to, cancel
	return nil
}

func (r *remote) drop() {
	if r.piece != nil {
		r.piece.Close()
		r.cancel()
		r.piece = nil
	}
}

// Close implements io.Closer.
func (r *remote) Close() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.drop()
	r.closed = true
	return nil
}
