package store

import (
	"errors"
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
		err := s.Try(ctx, door, whose, time.Hour, func(n time.Time, one, all *Attempts) error {
			at, was, everybody = n, *one, *all
			return change(one, all)
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

var errTaken = errors.New("taken")
