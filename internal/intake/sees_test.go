package intake

import (
	"errors"
	"strings"
	"testing"

	"tenoff/internal/trace"
)

// A look that fails, or panics, says so and is followed by another one.
func TestLooksThatFail(t *testing.T) {
	looks := []func() error{
		func() error { panic("no such sample") },
		func() error { return errors.New("no room") },
		func() error { return nil },
	}
	var said []string
	n := 0
	s := &sees{
		look: func(*trace.Motion) error { n++; return looks[n-1]() },
		say:  func(err error) { said = append(said, err.Error()) },
	}
	for range looks {
		s.further(nil)
		s.end()
	}
	if n != 3 || len(said) != 2 || !strings.Contains(said[0], "no such sample") || said[1] != "no room" {
		t.Errorf("%d looks, said %q", n, said)
	}
}
