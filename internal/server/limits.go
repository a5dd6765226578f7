package server

import (
	"context"
	"net/http"
	"net/netip"
	"sync"
	"time"

	"tenoff/internal/store"
)

// attempts slows down whoever tries secrets: each address has a few failures, which
// come back with time, and all of them together have more. An attempt is taken before
// it is known how it ends, so that many at once are no more than one after another;
// one that was right is given back.
type attempts struct {
	every time.Duration // a failure is forgiven after so long
	burst int
	now   func() time.Time

	mu   sync.Mutex
	all  budget
	from map[string]*budget
}

// budget is how many failures are left.
type budget struct {
	left  float64
	at    time.Time // when that was so
	right bool      // a right secret came from here: strangers' failures don't count here
}

// crowd is how many addresses' failures are remembered; beyond it the patient ones
// are forgotten.
const crowd = 4096

// together is how many times as much all addresses may fail as one.
const together = 20

func newAttempts(every time.Duration, burst int) *attempts {
	return &attempts{every: every, burst: burst, now: time.Now, all: budget{left: float64(burst * together)}, from: map[string]*budget{}}
}

// take takes an attempt of an address, if it has one left.
func (a *attempts) take(address string) bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	one := a.of(address)
	a.all.refill(a.now(), a.every/10, a.burst*together)
	return takeOf(one, &a.all)
}

// takeOf takes an attempt of one address, if it and all together have one left.
func takeOf(one, all *budget) bool {
	if one.left < 1 || !one.right && all.left < 1 {
		return false
	}
	one.left--
	if !one.right {
		all.left--
	}
	return true
}

// giveBackTo gives one back.
func giveBackTo(one, all *budget) {
	one.left++
	if !one.right {
		all.left++
	}
}

// giveBack gives an attempt back that told nothing.
func (a *attempts) giveBack(address string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	giveBackTo(a.of(address), &a.all)
}

// right gives an attempt back that was right.
func (a *attempts) right(address string) {
	a.giveBack(address)
	a.mu.Lock()
	defer a.mu.Unlock()
	a.of(address).right = true
}

// of returns what an address has left now.
func (a *attempts) of(address string) *budget {
	b, known := a.from[address]
	if !known {
		if len(a.from) >= crowd {
			a.forget()
		}
		b = &budget{left: float64(a.burst)}
		a.from[address] = b
	}
	b.refill(a.now(), a.every, a.burst)
	return b
}

// forget forgets who has all attempts left, and, if that is not enough, anybody from
// whom nothing right ever came.
func (a *attempts) forget() {
	for address, b := range a.from {
		if b.refill(a.now(), a.every, a.burst); !b.right && (b.left >= float64(a.burst) || len(a.from) >= crowd) {
			delete(a.from, address)
		}
	}
}

func (b *budget) refill(now time.Time, every time.Duration, most int) {
	if !b.at.IsZero() {
		b.left += float64(now.Sub(b.at)) / float64(every)
	}
	b.left, b.at = min(b.left, float64(most)), now
}

// neighbourhood is by what an address is counted: whoever has one IPv6 address has the 2^64
// of its network (RFC 4291, 2.5.4: an interface's identifier has 64 bits).
func neighbourhood(address string) string {
	a, err := netip.ParseAddr(address)
	if err != nil || a.Is4() || a.Is4In6() {
		return address
	}
	network, err := a.WithZone("").Prefix(64)
	if err != nil {
		return address
	}
	return network.String()
}

// door is where a passphrase is tried: so many attempts, and so many hashes at once.
type door struct {
	*attempts
	lane few
	// Where several programs open the same door the attempts are counted in the store that
	// they share, under the door's name; nil where one program does.
	store *store.Store
	name  string
}

// Hashes of passphrases that are computed at once behind a door, and how many may wait
// for that: each takes 64 MiB and the better part of a second.
const (
	hashing        = 1
	waitingForHash = 8
)

func newDoor(every time.Duration, burst int) door {
	return door{attempts: newAttempts(every, burst), lane: newFew(hashing, waitingForHash)}
}

// across has a door's attempts counted for all programs on a store, where there may be
// others.
func (d door) across(s *store.Store, name string) door {
	if s != nil && !s.Ours() {
		d.store, d.name = s, name
	}
	return d
}

// enter takes an attempt and waits for a turn, which ends with leave.
func (d door) enter(ctx context.Context, whose string) (leave func(), err error) {
	left, err := d.takes(ctx, whose)
	if err != nil {
		return nil, err
	}
	if !left {
		return nil, refusal(http.StatusTooManyRequests, "Too many attempts; wait a minute and try again.")
	}
	leave, ok := d.lane.enter(ctx)
	if !ok {
		if err := d.givesBack(ctx, whose, false); err != nil {
			return nil, err
		}
		return nil, refusal(http.StatusServiceUnavailable, "Too many are signing in at this moment; try again in a few seconds.")
	}
	return leave, nil
}

// opened gives an attempt back that was right.
func (d door) opened(ctx context.Context, whose string) error { return d.givesBack(ctx, whose, true) }

func (d door) takes(ctx context.Context, whose string) (left bool, err error) {
	if d.store == nil {
		return d.take(whose), nil
	}
	err = d.try(ctx, whose, func(one, all *budget) bool {
		left = takeOf(one, all)
		return left // whoever is refused leaves nothing behind
	})
	return left, err
}

// givesBack gives an attempt back, also when whoever made it is gone meanwhile.
func (d door) givesBack(ctx context.Context, whose string, right bool) error {
	switch {
	case d.store == nil && right:
		d.right(whose)
		return nil
	case d.store == nil:
		d.giveBack(whose)
		return nil
	}
	return d.try(context.WithoutCancel(ctx), whose, func(one, all *budget) bool {
		giveBackTo(one, all)
		one.right = one.right || right
		return true
	})
}

// try changes what is left in the shared store, if change says that it is to be kept.
func (d door) try(ctx context.Context, whose string, change func(one, all *budget) bool) error {
	full := d.every * time.Duration(d.burst)
	return d.store.Try(ctx, d.name, whose, full, full+rightFor, func(now time.Time, one, all *store.Attempts) (bool, error) {
		a, b := budgetOf(*one, d.burst), budgetOf(*all, d.burst*together)
		a.refill(now, d.every, d.burst)
		b.refill(now, d.every/10, d.burst*together)
		keep := change(&a, &b)
		*one, *all = store.Attempts{Left: a.left, Known: a.right}, store.Attempts{Left: b.left}
		return keep, nil
	})
}

// rightFor is how long it is remembered that something right came from an address.
const rightFor = 30 * 24 * time.Hour

// budgetOf is what is left; somebody who is not known has most.
func budgetOf(a store.Attempts, most int) budget {
	if a.At.IsZero() {
		return budget{left: float64(most)}
	}
	return budget{left: a.Left, at: a.At, right: a.Known}
}

// few lets a few do something at once, and a few more wait for their turn.
type few struct{ doing, there chan struct{} }

func newFew(atOnce, waiting int) few {
	return few{make(chan struct{}, atOnce), make(chan struct{}, atOnce+waiting)}
}

// enter waits for a turn, which ends with leave; ok is false when too many wait
// already, or ctx ends.
func (f few) enter(ctx context.Context) (leave func(), ok bool) {
	select {
	case f.there <- struct{}{}:
	default:
		return nil, false
	}
	select {
	case f.doing <- struct{}{}:
		return func() { <-f.doing; <-f.there }, true
	case <-ctx.Done():
		<-f.there
		return nil, false
	}
}
