package server

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// attempts slows down whoever tries secrets: each address has a few failures, which
// come back with time, and all of them together have more.
type attempts struct {
	every time.Duration // a failure is forgiven after so long
	burst int
	all   *rate.Limiter

	mu   sync.Mutex
	from map[string]*rate.Limiter
}

// crowd is how many addresses' failures are remembered; beyond it the patient ones
// are forgotten.
const crowd = 4096

func newAttempts(every time.Duration, burst int) *attempts {
	return &attempts{every: every, burst: burst, all: rate.NewLimiter(rate.Every(every/10), burst*20), from: map[string]*rate.Limiter{}}
}

// may reports whether an address may try.
func (a *attempts) may(address string) bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	l, known := a.from[address]
	return a.all.Tokens() >= 1 && (!known || l.Tokens() >= 1)
}

// failed notes that an attempt failed.
func (a *attempts) failed(address string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.all.Allow()
	l, known := a.from[address]
	if !known {
		if len(a.from) >= crowd {
			for k, old := range a.from {
				if old.Tokens() >= float64(a.burst) || len(a.from) >= crowd {
					delete(a.from, k)
				}
			}
		}
		l = rate.NewLimiter(rate.Every(a.every), a.burst)
		a.from[address] = l
	}
	l.Allow()
}
