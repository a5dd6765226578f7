package scout

import (
	"context"
	"errors"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// breath is the pause between two bullpens that are looked through at the start: others
// have work to do then.
const breath = 10 * time.Millisecond

// FollowChanges has instants found anew whenever something that they hang on changes
// (a mark, a pitch, a film, her baseline pitch), whoever changed it, until ctx ends. It
// begins with what changed while nobody listened.
func (s *Scout) FollowChanges(ctx context.Context) error {
	changes, stop := s.store.Watch()
	defer stop()
	var before []func()
	err := s.store.InEach(ctx, func(ctx context.Context) error {
		ids, err := s.store.MarkedBullpens(ctx)
		for _, id := range ids {
			before = append(before, func() { s.followChange(ctx, id) })
		}
		return err
	})
	if err != nil && ctx.Err() == nil {
		s.log.WarnContext(ctx, "which instants have to be found anew can't be read", "err", err)
	}
	next := time.NewTicker(breath)
	defer next.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case c := <-changes:
			if c.BullpenID != "" {
				s.followChange(store.Within(ctx, c.Academy), c.BullpenID)
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

// followChange queues a search in a bullpen that was changed, if one is due. That it
// can't be is logged: what was changed is stored.
func (s *Scout) followChange(ctx context.Context, bullpenID string) {
	due, err := s.Due(ctx, bullpenID)
	if due && err == nil {
		_, err = s.follow(ctx, bullpenID, false)
	}
	if err != nil && ctx.Err() == nil {
		s.log.WarnContext(ctx, "instants are not looked for again", "bullpen", bullpenID, "err", err)
	}
}

// Due reports whether instants are to be found anew in a bullpen: something that they
// hang on is not as the last search saw it. Of films whose traces another version of the
// method stored they are not, until those are measured anew.
func (s *Scout) Due(ctx context.Context, bullpenID string) (bool, error) {
	if marked, err := s.store.IsMarked(ctx, bullpenID); !marked || err != nil {
		return false, err
	}
	p, err := s.pen(ctx, bullpenID)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	last, err := s.store.Followed(ctx, bullpenID)
	if err != nil || len(last) == 0 && !p.hasReference() || isLast(last, p.digest()) {
		return false, err
	}
	for _, f := range p.films {
		if errors.Is(s.current(f.Made.Motion), trace.ErrVersion) {
			return false, nil
		}
	}
	return true, nil
}
