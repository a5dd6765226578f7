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
	for when, then := range map[string]func(*tx) error{
		"before the commit": func(*tx) error { return nil },
		"before a statement": func(tx *tx) error {
			var id string
			return one(tx.QueryRow(`SELECT id FROM homeworks WHERE id = ?`, "hw").Scan(&id), "homework")
		},
	} {
		ctx, giveUp := context.WithCancel(t.Context())
		err := s.tx(ctx, func(tx *tx) error {
			giveUp()
			for s.write.Stats().InUse > 0 { // until it is taken back
				time.Sleep(time.Millisecond)
			}
			return then(tx)
		})
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v", when, err)
		}
	}
}
