package store

import (
	"errors"
	"fmt"
	"testing"
	"time"
)

// What one program takes another has not, by the clock of the database; what fails takes
// nothing; who was not there for long is forgotten.
func TestTry(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	now := time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC)
	tellTime(s, func() time.Time { return now })
	try := func(door, whose string, change func(one, all *Attempts) error) (at time.Time, was Attempts, everybody Attempts) {
		t.Helper()
		err := s.Try(ctx, door, whose, 10*time.Minute, time.Hour, func(n time.Time, one, all *Attempts) (bool, error) {
			at, was, everybody = n, *one, *all
			return true, change(one, all)
		})
		if err != nil && !errors.Is(err, errTaken) {
			t.Fatal(err)
		}
		return at, was, everybody
	}
	set := func(one, all *Attempts) error {
		one.Left, one.Known, all.Left = 4, true, 99
		return nil
	}
	if at, one, all := try("front", "192.0.2.7", set); !at.Equal(now) || !one.At.IsZero() || !all.At.IsZero() {
		t.Errorf("at first: %v, %+v, %+v", at, one, all)
	}
	try("front", "192.0.2.7", func(one, all *Attempts) error {
		one.Left = 0
		return errTaken
	})
	now = now.Add(time.Minute)
	_, one, all := try("front", "192.0.2.7", func(_, _ *Attempts) error { return errTaken })
	if one.Left != 4 || !one.Known || !one.At.Equal(now.Add(-time.Minute)) || all.Left != 99 {
		t.Errorf("afterwards: %+v, %+v", one, all)
	}
	if _, one, all := try("front", "192.0.2.8", func(_, _ *Attempts) error { return errTaken }); !one.At.IsZero() || all.Left != 99 {
		t.Errorf("another address: %+v, %+v", one, all)
	}
	if _, one, all := try("changing", "192.0.2.7", func(_, _ *Attempts) error { return errTaken }); !one.At.IsZero() || !all.At.IsZero() {
		t.Errorf("another door: %+v, %+v", one, all)
	}
	now = now.Add(2 * time.Hour)
	if _, one, _ := try("front", "192.0.2.7", func(_, _ *Attempts) error { return errTaken }); !one.At.IsZero() {
		t.Errorf("two hours later: %+v", one)
	}
}

// Strangers who try leave a row each until all their attempts are left again, and those who
// are refused none; whoever is known is remembered longer, and what all have left together is
// not forgotten.
func TestStrangersAreForgotten(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	now := time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC)
	tellTime(s, func() time.Time { return now })
	try := func(whose string, known, keep bool) {
		t.Helper()
		err := s.Try(ctx, "front", whose, 100*time.Second, time.Hour, func(_ time.Time, one, all *Attempts) (bool, error) {
			one.Left, one.Known, all.Left = 4, known, 99
			return keep, nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	rows := func(want int, when string) {
		t.Helper()
		var n int
		if err := s.read.QueryRowContext(ctx, `SELECT count(*) FROM attempts`).Scan(&n); err != nil {
			t.Fatal(err)
		}
		if n != want {
			t.Errorf("%s: %d rows, want %d", when, n, want)
		}
	}
	try("192.0.2.1", true, true)
	for i := range 50 {
		try(fmt.Sprintf("198.51.100.%d", i), false, true)
		try(fmt.Sprintf("203.0.113.%d", i), false, false)
	}
	rows(52, "51 addresses and all together")
	now = now.Add(101 * time.Second)
	try("203.0.113.1", false, false)
	rows(2, "when the strangers have all their attempts again")
	now = now.Add(time.Hour)
	try("203.0.113.1", false, false)
	rows(1, "when nobody is remembered")
}

var errTaken = errors.New("taken")
