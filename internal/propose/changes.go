package propose

import (
	"context"
	"errors"

	"tenoff/internal/bullpen"
	"tenoff/internal/trace"
)

// FollowChanges has instants found anew whenever something that they hang on changes
// (a mark, a pitch, a film, her baseline pitch), whoever changed it, until ctx ends. It
// begins with what changed while nobody listened.
func (s *Proposer) FollowChanges(ctx context.Context) error {
	s.store.Follow(ctx, s.store.MarkedBullpens, s.followChange, func(err error) {
		s.log.WarnContext(ctx, "which instants have to be found anew can't be read", "err", err)
	})
	return nil
}

// followChange queues a search in a bullpen that was changed, if one is due. That it
// can't be is logged: what was changed is stored.
func (s *Proposer) followChange(ctx context.Context, bullpenID string) {
	due, err := s.Due(ctx, bullpenID)
	if due && err == nil {
		_, err = s.searchInstants(ctx, bullpenID, false)
	}
	if err != nil && ctx.Err() == nil {
		s.log.WarnContext(ctx, "instants are not looked for again", "bullpen", bullpenID, "err", err)
	}
}

// Due reports whether instants are to be found anew in a bullpen: something that they
// hang on is not as the last search saw it. Of films whose traces another version of the
// method stored they are not, until those are measured anew.
func (s *Proposer) Due(ctx context.Context, bullpenID string) (bool, error) {
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
	last, err := s.store.InstantSearch(ctx, bullpenID)
	if err != nil || len(last) == 0 && !p.hasReference() || isLast(last, p.digest()) {
		return false, err
	}
	for _, f := range p.films {
		if errors.Is(s.current(ctx, f.Made.Motion), trace.ErrVersion) {
			return false, nil
		}
	}
	return true, nil
}
