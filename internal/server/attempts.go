package server

import (
	"context"
	"sync"
	"time"

	"tenoff/internal/store"
)

// attempts slows down whoever tries secrets: each address has a few failures, which
// come back with time, and all of them together have more. An attempt is taken before
// it is known how it ends, so that many at once are no more than one after another;
// one that was right is given back.
type attempts struct {
	allowed
	counts counts
}

// allowed is how often an address may fail.
type allowed struct {
	every time.Duration // a failure is forgiven after so long
	burst int
}

// together is how many times as much all addresses may fail as one.
const together = 20

// counts remembers what is left to each address and to all of them: in the program's
// memory, or in a database that several programs share.
type counts interface {
	// change has what is left to an address and to all together changed by do, which is told
	// the time, while nobody else changes it. It is kept if do says so: whoever is refused
	// leaves nothing behind.
	change(ctx context.Context, whose string, do func(now time.Time, one, all *budget) (keep bool)) error
}

// budget is how many failures are left. The zero value is that of somebody who is not known.
type budget struct {
	left  float64
	at    time.Time // when that was so
	right bool      // a right secret came from here: strangers' failures don't count here
}

// take takes an attempt of an address, if it has one left.
func (a attempts) take(ctx context.Context, whose string) (left bool, err error) {
	err = a.change(ctx, whose, func(one, all *budget) bool {
		if left = one.left >= 1 && (one.right || all.left >= 1); left {
			one.add(all, -1)
		}
		return left
	})
	return left, err
}

// giveBack gives an attempt back, also when whoever made it is gone meanwhile: one that
// told nothing, or one that was right.
func (a attempts) giveBack(ctx context.Context, whose string, right bool) error {
	return a.change(context.WithoutCancel(ctx), whose, func(one, all *budget) bool {
		one.add(all, 1)
		one.right = one.right || right
		return true
	})
}

// change has do told what is left now.
func (a attempts) change(ctx context.Context, whose string, do func(one, all *budget) (keep bool)) error {
	return a.counts.change(ctx, whose, func(now time.Time, one, all *budget) bool {
		one.refill(now, a.every, a.burst)
		all.refill(now, a.every/10, a.burst*together)
		return do(one, all)
	})
}

// add gives or takes n, of all together too where one is a stranger.
func (b *budget) add(all *budget, n float64) {
	b.left += n
	if !b.right {
		all.left += n
	}
}

func (b *budget) refill(now time.Time, every time.Duration, most int) {
	if b.at.IsZero() {
		b.left = float64(most)
	} else {
		b.left = min(b.left+float64(now.Sub(b.at))/float64(every), float64(most))
	}
	b.at = now
}

// inMemory is where the attempts at one program are counted.
type inMemory struct {
	allowed
	now func() time.Time

	mu   sync.Mutex
	all  budget
	from map[string]budget
}

// crowd is how many addresses' failures are remembered in memory; beyond it the patient ones
// are forgotten.
const crowd = 4096

// newAttempts counts attempts in memory.
func newAttempts(every time.Duration, burst int) attempts {
	a := allowed{every, burst}
	return attempts{a, &inMemory{allowed: a, now: time.Now, from: map[string]budget{}}}
}

func (m *inMemory) change(_ context.Context, whose string, do func(now time.Time, one, all *budget) (keep bool)) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	one, all := m.from[whose], m.all
	if !do(m.now(), &one, &all) {
		return nil
	}
	if _, known := m.from[whose]; !known && len(m.from) >= crowd {
		m.forget()
	}
	m.from[whose], m.all = one, all
	return nil
}

// forget forgets who has all attempts left, and, if that is not enough, anybody from
// whom nothing right ever came.
func (m *inMemory) forget() {
	for address, b := range m.from {
		if b.refill(m.now(), m.every, m.burst); !b.right && (b.left >= float64(m.burst) || len(m.from) >= crowd) {
			delete(m.from, address)
		}
	}
}

// inStore is where the attempts at several programs are counted, under their door's name.
type inStore struct {
	allowed
	store *store.Store
	name  string
}

// rightFor is how long it is remembered in a store that something right came from an address.
const rightFor = 30 * 24 * time.Hour

// across has attempts counted for all programs on a store, where there may be others.
func (a attempts) across(s *store.Store, name string) attempts {
	if s != nil && !s.Ours() {
		a.counts = inStore{a.allowed, s, name}
	}
	return a
}

func (c inStore) change(ctx context.Context, whose string, do func(now time.Time, one, all *budget) (keep bool)) error {
	full := c.every * time.Duration(c.burst)
	return c.store.Try(ctx, c.name, whose, full, full+rightFor, func(now time.Time, one, all *store.Attempts) (bool, error) {
		a, b := budget{one.Left, one.At, one.Known}, budget{all.Left, all.At, false}
		keep := do(now, &a, &b)
		*one, *all = store.Attempts{Left: a.left, Known: a.right}, store.Attempts{Left: b.left}
		return keep, nil
	})
}
