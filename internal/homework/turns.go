package homework

import (
	"context"
	"crypto/rand"
	"sync"
	"time"

	"github.com/tus/tusd/v2/pkg/handler"
)

// turns are the locks of uploads where several machines take them: leases in the store, by
// its clock. Whoever waits asks the holder to let go, who hears of it when it holds on.
type turns struct{ h *Homework }

const (
	// lease is for how long a turn is held; a machine that ended without warning holds it
	// no longer.
	lease = 10 * time.Second
	// holding is how often it is held on to, and how often whoever waits looks again.
	holding = time.Second
	looking = 150 * time.Millisecond
)

// moved and ended are why a holder is asked to let go: the upload goes on elsewhere, or is
// not wanted any more.
const (
	moved = "moved"
	ended = "ended"
)

type overKey struct{}

// over has whoever locks within ctx tell the holder that the upload is not wanted any more.
func over(ctx context.Context) context.Context { return context.WithValue(ctx, overKey{}, true) }

// NewLock implements handler.Locker.
func (t turns) NewLock(id string) (handler.Lock, error) {
	return &turnOf{of: t, name: "upload " + id, id: id, holder: rand.Text()}, nil
}

// turnOf is one turn of one upload.
type turnOf struct {
	of               turns
	name, id, holder string

	stop context.CancelFunc
	end  sync.WaitGroup
}

// Lock implements handler.Lock.
func (t *turnOf) Lock(ctx context.Context, letGo func()) error {
	why := moved
	if ctx.Value(overKey{}) != nil {
		why = ended
	}
	if err := t.take(ctx, why); err != nil {
		return err
	}
	holdOn, stop := context.WithCancel(context.WithoutCancel(ctx))
	t.stop = stop
	t.end.Go(func() { t.holdOn(holdOn, letGo) })
	return nil
}

// take waits for the turn.
func (t *turnOf) take(ctx context.Context, why string) error {
	for {
		got, err := t.of.h.store.TakeTurn(ctx, t.name, t.holder, why, lease)
		if ctx.Err() != nil {
			return handler.ErrLockTimeout
		}
		if err != nil {
			return refuse(err)
		}
		if got {
			return nil
		}
		select {
		case <-ctx.Done():
			return handler.ErrLockTimeout
		case <-time.After(looking):
		}
	}
}

// holdOn keeps the turn until ctx ends, and calls letGo once when somebody waits for it, or
// when it may be another's by now.
func (t *turnOf) holdOn(ctx context.Context, letGo func()) {
	tick := time.NewTicker(holding)
	defer tick.Stop()
	held := time.Now()
	asked := false
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		why, ours, err := t.of.h.store.KeepTurn(ctx, t.name, t.holder, lease)
		switch {
		case ctx.Err() != nil:
			return
		case err == nil && ours:
			held = time.Now()
		case err == nil, time.Since(held) > lease-2*holding:
			why = moved // or so it may be
		}
		if why == "" || asked {
			continue
		}
		asked = true
		if why == ended {
			t.of.h.ending.Store(t.id, true)
			defer t.of.h.ending.Delete(t.id)
		}
		letGo()
	}
}

// Unlock implements handler.Lock.
func (t *turnOf) Unlock() error {
	t.stop()
	t.end.Wait()
	return t.give()
}

func (t *turnOf) give() error {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	return t.of.h.store.EndTurn(ctx, t.name, t.holder) // else it ends by itself
}

// beginning is held while an upload begins: by one request of this machine, and, where there
// are several, by one of all of them.
type beginning struct {
	here   sync.Mutex
	others turns // zero: there are none
	held   *turnOf
}

// Lock waits for the turn, which is held on to until Unlock.
func (b *beginning) Lock(ctx context.Context) error {
	b.here.Lock()
	if b.others.h == nil {
		return nil
	}
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	b.held = &turnOf{of: b.others, name: "beginning", holder: rand.Text()}
	if err := b.held.Lock(ctx, func() {}); err != nil { // who waits, waits until it is done
		b.held = nil
		b.here.Unlock()
		return err
	}
	return nil
}

// Unlock gives the turn back.
func (b *beginning) Unlock() {
	if b.held != nil {
		if err := b.held.Unlock(); err != nil {
			b.others.h.log.Warn("the turn to begin an upload ends by itself", "err", err)
		}
		b.held = nil
	}
	b.here.Unlock()
}
