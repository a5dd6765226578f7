package store

import (
	"context"
	"time"

	"tenoff/internal/errand"
)

// breath is the pause between two bullpens that are looked through at the start: others
// have work to do then.
const breath = 10 * time.Millisecond

// Follow calls change with each bullpen in which something changed, within its academy and
// the errand that it was changed in, until ctx ends. It begins with those that first lists in
// each academy, for what changed while nobody listened; that they can't be listed is told to
// failed.
func (s *Store) Follow(ctx context.Context, first func(context.Context) ([]string, error), change func(context.Context, string), failed func(error)) {
	changes, stop := s.Watch()
	defer stop()
	var before []func()
	err := s.InEach(ctx, func(ctx context.Context) error {
		ids, err := first(ctx)
		for _, id := range ids {
			before = append(before, func() { change(ctx, id) })
		}
		return err
	})
	if err != nil && ctx.Err() == nil {
		failed(err)
	}
	next := time.NewTicker(breath)
	defer next.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case c := <-changes:
			if c.BullpenID != "" {
				change(errand.With(Within(ctx, c.Academy), c.Errand), c.BullpenID)
			}
		case <-next.C:
			if len(before) == 0 {
				next.Stop()
				continue
			}
			before[0]()
			before = before[1:]
		}
	}
}
