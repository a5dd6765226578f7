package throttle

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

// slow takes a second for every write, and notes how many go on at once.
type slow struct{ now, most *atomic.Int32 }

func (s slow) Write(p []byte) (int, error) {
	if n := s.now.Add(1); n > s.most.Load() {
		s.most.Store(n)
	}
	time.Sleep(time.Second)
	s.now.Add(-1)
	return len(p), nil
}

func TestOnlySoManyPiecesAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, now, most := newThrottle(3), &atomic.Int32{}, &atomic.Int32{}
		began := time.Now()
		var all sync.WaitGroup
		for range 10 {
			all.Go(func() {
				if n, err := l.Copy(t.Context(), slow{now, most}, bytes.NewReader(make([]byte, 2*Piece))); n != 2*Piece || err != nil {
					t.Errorf("%d bytes, %v", n, err)
				}
			})
		}
		all.Wait()
		if most.Load() != 3 {
			t.Errorf("%d pieces at once", most.Load())
		}
		if took := time.Since(began); took != 7*time.Second {
			t.Errorf("20 pieces of a second, 3 at once, took %v", took)
		}
	})
}

// A piece waits for the answers under way, and for those that begin meanwhile, but
// never longer than Patience.
func TestPiecesGiveWay(t *testing.T) {
	for _, c := range []struct {
		what    string
		answers []time.Duration // how long each takes; each begins a millisecond after the one before
		want    time.Duration
	}{
		{"nobody asks", nil, 0},
		{"one answer", []time.Duration{7 * time.Millisecond}, 7 * time.Millisecond},
		{"two, one after the other", []time.Duration{2 * time.Millisecond, 7 * time.Millisecond}, 8 * time.Millisecond},
		{"one that never ends", []time.Duration{time.Hour}, Patience},
	} {
		t.Run(c.what, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				l := newThrottle(1)
				for i, takes := range c.answers {
					go func() {
						time.Sleep(time.Duration(i) * time.Millisecond)
						done := l.Answering()
						defer done()
						time.Sleep(takes)
					}()
				}
				synctest.Wait()
				began := time.Now()
				if _, err := io.WriteString(l.Writer(t.Context(), io.Discard), "piece"); err != nil {
					t.Fatal(err)
				}
				if took := time.Since(began); took != c.want {
					t.Errorf("it waited %v, want %v", took, c.want)
				}
				time.Sleep(2 * time.Hour)
			})
		})
	}
}

// drops gives a film as a connection does: no more than n bytes at a time, and in the
// end, with the last of them or after it, err.
type drops struct {
	film io.Reader
	n    int
	err  error
}

func (d *drops) Read(p []byte) (int, error) {
	n, err := d.film.Read(p[:min(len(p), d.n)])
	if err == io.EOF {
		err = d.err
	}
	return n, err
}

// A turn is worth a whole piece, however little the connection gives at a time: a TLS
// record has no more than 16 KiB (RFC 8446, 5.1).
func TestATurnIsAWholePiece(t *testing.T) {
	const record = 16 << 10
	for _, c := range []struct {
		what string
		n    int
	}{{"in records", record}, {"in odd drops", 1000}, {"as it comes", 1 << 30}} {
		t.Run(c.what, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				l := newThrottle(1)
				defer l.Answering()()
				film := bytes.Repeat([]byte("film"), Piece) // four pieces
				var to bytes.Buffer
				began := time.Now()
				n, err := l.Copy(t.Context(), &to, &drops{bytes.NewReader(film), c.n, io.EOF})
				if n != 4*Piece || err != nil || !bytes.Equal(to.Bytes(), film) {
					t.Errorf("%d bytes, %v", n, err)
				}
				if took := time.Since(began); took != 4*Patience {
					t.Errorf("four pieces took %v, want %v", took, 4*Patience)
				}
			})
		})
	}
}

// What came before a connection broke is not lost with it.
func TestWhatCameIsKept(t *testing.T) {
	broke := errors.New("broke")
	var to bytes.Buffer
	n, err := newThrottle(1).Copy(t.Context(), &to, &drops{strings.NewReader("half a film"), 3, broke})
	if n != 11 || to.String() != "half a film" || !errors.Is(err, broke) {
		t.Errorf("%d bytes, %q, %v", n, to.String(), err)
	}
}

// What has come is there at once, and not only when there is a whole piece of it.
func TestWhatCameIsThere(t *testing.T) {
	from, to := io.Pipe()
	out := make(chan string, 1)
	go func() { _, _ = newThrottle(1).Copy(t.Context(), writes(func(p []byte) { out <- string(p) }), from) }()
	defer to.Close()
	for _, drop := range []string{"half", " a film"} {
		if _, err := io.WriteString(to, drop); err != nil {
			t.Fatal(err)
		}
		if got := <-out; got != drop {
			t.Errorf("%q came, %q is there", drop, got)
		}
	}
}

type writes func(p []byte)

func (w writes) Write(p []byte) (int, error) {
	w(p)
	return len(p), nil
}

// An answer that says twice that it is done ends no other.
func TestDoneTwice(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newThrottle(1)
		first, second := l.Answering(), l.Answering()
		first()
		first()
		began := time.Now()
		time.AfterFunc(time.Millisecond, second)
		if _, err := l.Writer(t.Context(), io.Discard).Write([]byte("x")); err != nil || time.Since(began) != time.Millisecond {
			t.Errorf("%v after %v", err, time.Since(began))
		}
	})
}

// Whoever gives up does nothing more and leaves the lane to the others, whether it
// waits for a place on it or gives way.
func TestGivingUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newThrottle(1)
		done := l.Answering()
		for range 2 { // one gives way, the other waits for its place
			go func() {
				ctx, cancel := context.WithTimeout(t.Context(), time.Millisecond)
				defer cancel()
				var to strings.Builder
				n, err := l.Copy(ctx, &to, strings.NewReader("film"))
				if !errors.Is(err, context.DeadlineExceeded) || n != 0 || to.Len() != 0 {
					t.Errorf("%d bytes, %q, %v", n, to.String(), err)
				}
			}()
		}
		time.Sleep(2 * time.Millisecond)
		done()
		began := time.Now()
		var to strings.Builder
		if n, err := l.Copy(t.Context(), &to, strings.NewReader("film")); n != 4 || err != nil || to.String() != "film" || time.Since(began) != 0 {
			t.Errorf("the next: %d bytes, %q, %v, after %v", n, to.String(), err, time.Since(began))
		}
	})
}

// What the writer says is passed on.
func TestWriterFails(t *testing.T) {
	full := errors.New("full")
	if n, err := newThrottle(1).Copy(t.Context(), failing{full}, strings.NewReader("film")); n != 1 || !errors.Is(err, full) {
		t.Errorf("%d, %v", n, err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 1, f.err }
