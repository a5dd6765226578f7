package server

import (
	"fmt"
	"testing"
	"time"
)

// takes is how many of n attempts an address has left.
func takes(t *testing.T, a attempts, address string, n int) (got int) {
	t.Helper()
	for range n {
		left, err := a.take(t.Context(), address)
		if err != nil {
			t.Fatal(err)
		}
		if left {
			got++
		}
	}
	return got
}

// right takes an attempt that is right.
func right(t *testing.T, a attempts, address string) {
	t.Helper()
	if takes(t, a, address, 1) == 0 {
		t.Fatal("whoever is right has to wait")
	}
	if err := a.giveBack(t.Context(), address, true); err != nil {
		t.Fatal(err)
	}
}

// An address has its few failures, all have more together, and a success costs nothing:
// wherever that is counted.
func TestAttempts(t *testing.T) {
	of := allowed{time.Hour, 5} // none comes back while the test runs
	h := newHouse(t)
	for name, counted := range map[string]attempts{
		"in memory":  newAttempts(of.every, of.burst),
		"in a store": {of, inStore{of, h.deps.Store, "front"}},
	} {
		t.Run(name, func(t *testing.T) {
			if got := takes(t, counted, "192.0.2.1", 9); got != 5 {
				t.Errorf("%d attempts of one address", got)
			}
			for range 50 {
				right(t, counted, "192.0.2.2")
			}
			if err := counted.giveBack(t.Context(), "192.0.2.1", false); err != nil {
				t.Fatal(err)
			}
			if got := takes(t, counted, "192.0.2.1", 9); got != 1 {
				t.Errorf("%d attempts after one was given back", got)
			}
			strangers := 0
			for i := range 120 {
				strangers += takes(t, counted, fmt.Sprintf("198.51.100.%d", i), 1)
			}
			if strangers < 90 || strangers > 96 { // 5 of 100 are gone, and 10 come back in an hour
				t.Errorf("%d attempts of 120 addresses", strangers)
			}
			if got := takes(t, counted, "192.0.2.2", 9); got != 5 {
				t.Errorf("whoever was right before has %d attempts while strangers try", got)
			}
		})
	}
}

// With time failures are forgiven, and however many addresses try, no more than a crowd of
// them is remembered.
func TestAttemptsInMemory(t *testing.T) {
	at := time.Unix(0, 0)
	a := newAttempts(20*time.Second, 5)
	memory := a.counts.(*inMemory)
	memory.now = func() time.Time { return at }
	takes(t, a, "192.0.2.1", 9)
	at = at.Add(41 * time.Second)
	if got := takes(t, a, "192.0.2.1", 9); got != 2 {
		t.Errorf("%d attempts after 41 s", got)
	}
	for i := range 10_000 {
		right(t, a, "192.0.2.2")
		at = at.Add(time.Second)
		takes(t, a, fmt.Sprintf("198.51.%d.%d", i/250, i%250), 1)
	}
	if len(memory.from) > crowd {
		t.Errorf("%d addresses are remembered", len(memory.from))
	}
	if !memory.from["192.0.2.2"].right {
		t.Error("whoever was right is forgotten")
	}
}
