package server

import (
	"context"
	"net/http"
	"net/netip"
	"sync"
	"time"
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
	if one.left < 1 || !one.right && a.all.left < 1 {
		return false
	}
	one.left--
	if !one.right {
		a.all.left--
	}
	return true
}

// giveBack gives an attempt back that told nothing.
func (a *attempts) giveBack(address string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	one := a.of(address)
	one.left++
	if !one.right {
		a.all.left++
	}
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
}

// Hashes of passphrases that are computed at once behind a door, and how many may wait
// for that: each takes 64 MiB and the better part of a second.
const (
	hashing        = 1
	waitingForHash = 8
)

func newDoor(every time.Duration, burst int) door {
	return door{newAttempts(every, burst), newFew(hashing, waitingForHash)}
}

// enter takes an attempt and waits for a turn, which ends with leave.
func (d door) enter(ctx context.Context, whose string) (leave func(), err error) {
	if !d.take(whose) {
		return nil, refusal(http.StatusTooManyRequests, "Too many attempts; wait a minute and try again.")
	}
	leave, ok := d.lane.enter(ctx)
	if !ok {
		d.giveBack(whose)
		return nil, refusal(http.StatusServiceUnavailable, "Too many are signing in at this moment; try again in a few seconds.")
	}
	return leave, nil
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
