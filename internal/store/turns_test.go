package store

import (
	"fmt"
	"sync"
	"testing"
	"time"
)

// A turn is one holder's until it is given back or over; who waits is heard, the first of
// them; and one that is another's by now is neither kept nor ended by who had it.
func TestTurns(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	take := func(holder, why string, lease time.Duration, want bool) {
		t.Helper()
		if got, err := s.TakeTurn(ctx, "upload a", holder, why, lease); err != nil || got != want {
			t.Fatalf("%s takes it: %v, %v", holder, got, err)
		}
	}
	keep := func(holder, asked string, ours bool) {
		t.Helper()
		why, is, err := s.KeepTurn(ctx, "upload a", holder, time.Hour)
		if err != nil || why != asked || is != ours {
			t.Fatalf("%s keeps it: %q, %v, %v", holder, why, is, err)
		}
	}
	take("one", "", time.Hour, true)
	keep("one", "", true)
	take("two", "moved", time.Hour, false)
	take("three", "ended", time.Hour, false)
	keep("one", "moved", true)
	keep("two", "", false)
	if err := s.EndTurn(ctx, "upload a", "two"); err != nil {
		t.Fatal(err)
	}
	keep("one", "moved", true)
	if err := s.EndTurn(ctx, "upload a", "one"); err != nil {
		t.Fatal(err)
	}
	take("two", "", -time.Second, true) // it is over at once
	take("three", "", time.Hour, true)
	keep("two", "", false)
	if err := s.EndTurn(ctx, "upload a", "two"); err != nil {
		t.Fatal(err)
	}
	keep("three", "", true)

	var all sync.WaitGroup
	var mu sync.Mutex
	first := 0
	for i := range 8 {
		all.Go(func() {
			got, err := s.TakeTurn(ctx, "upload b", fmt.Sprint(i), "", time.Hour)
			mu.Lock()
			defer mu.Unlock()
			if err != nil {
				t.Error(err)
			}
			if got {
				first++
			}
		})
	}
	all.Wait()
	if first != 1 {
		t.Errorf("%d have it", first)
	}
	for _, value := range []string{"one", "two"} {
		if kept, err := s.SettingOnce(ctx, "a key", value); err != nil || kept != "one" {
			t.Errorf("%q, %v", kept, err)
		}
	}
}
