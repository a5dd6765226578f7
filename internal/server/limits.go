package server

import (
	"context"
	"net/http"
	"net/netip"
)

// door is where a passphrase is tried: so many attempts, and so many hashes at once.
type door struct {
	attempts
	lane few
}

// Hashes of passphrases that are computed at once behind a door, and how many may wait
// for that: each takes 64 MiB and the better part of a second.
const (
	hashing        = 1
	waitingForHash = 8
)

func newDoor(a attempts) door { return door{a, newFew(hashing, waitingForHash)} }

// enter takes an attempt and waits for a turn, which ends with leave.
func (d door) enter(ctx context.Context, whose string) (leave func(), err error) {
	left, err := d.take(ctx, whose)
	if err != nil {
		return nil, err
	}
	if !left {
		return nil, refusal(http.StatusTooManyRequests, "Too many attempts; wait a minute and try again.")
	}
	leave, ok := d.lane.enter(ctx)
	if !ok {
		if err := d.giveBack(ctx, whose, false); err != nil {
			return nil, err
		}
		return nil, refusal(http.StatusServiceUnavailable, "Too many are signing in at this moment; try again in a few seconds.")
	}
	return leave, nil
}

// opened gives an attempt back that was right.
func (d door) opened(ctx context.Context, whose string) error { return d.giveBack(ctx, whose, true) }

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
