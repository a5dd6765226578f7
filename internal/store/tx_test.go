package store

import (
	"context"
	"errors"
	"testing"
	"time"
)

// A change whose asker has gone was taken back, and says so instead of failing.
func TestAChangeThatIsGivenUp(t *testing.T) {
	s := fresh(t)
	ctx, giveUp := context.WithCancel(t.Context())
	err := s.tx(ctx, func(*tx) error {
		giveUp()
		for s.write.Stats().InUse > 0 { // until it is taken back
			time.Sleep(time.Millisecond)
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}
