package propose

import (
	"context"
	"errors"
	"io"

	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// traces returns a film's motion and sound, nil for none. They are measured anew
// where another version of the method stored them, or where the film is known by
// now to play slower or faster than they were measured for.
func (s *Proposer) traces(ctx context.Context, f store.Film, progress func(float64)) (*trace.Motion, *trace.Sound, error) {
	motion, sound, err := s.stored(ctx, f)
	if errors.Is(err, trace.ErrVersion) || err == nil && motion.Slow != f.Clock.SlowFactor() {
		s.log.InfoContext(ctx, "traces are measured anew", "film", f.ID)
		if err := s.measure(ctx, f.ID, progress); err != nil {
			return nil, nil, err
		}
		if f, err = s.store.Film(ctx, f.ID); err != nil {
			return nil, nil, err
		}
		motion, sound, err = s.stored(ctx, f)
	}
	if err != nil {
		return nil, nil, err
	}
	motion.Said = f.SlowKnown
	return motion.Within(f.Box), sound, nil
}

func (s *Proposer) stored(ctx context.Context, f store.Film) (*trace.Motion, *trace.Sound, error) {
	motion := new(trace.Motion)
	if err := s.blobs.Load(ctx, f.Made.Motion, motion); err != nil {
		return nil, nil, err
	}
	if f.Made.Sound == "" {
		return motion, nil, nil
	}
	sound := new(trace.Sound)
	if err := s.blobs.Load(ctx, f.Made.Sound, sound); err != nil {
		return nil, nil, err
	}
	return motion, sound, nil
}

// Refresh queues a search in every film, of every academy, whose traces another version of
// the method stored, which are measured anew then, or that an older finder searched, unless
// a search waits, or failed or was called off.
func (s *Proposer) Refresh(ctx context.Context) error {
	return s.store.InEach(ctx, s.refresh)
}

// refresh is Refresh for the academy that ctx is within.
func (s *Proposer) refresh(ctx context.Context) error {
	films, err := s.store.ReadyFilms(ctx)
	if err != nil {
		return err
	}
	for _, f := range films {
		switch err := s.current(ctx, f.Made.Motion); {
		case errors.Is(err, trace.ErrVersion):
			if _, err := s.Search(ctx, f.ID); err != nil {
				return err
			}
		case err != nil:
			s.log.WarnContext(ctx, "traces can't be read", "film", f.ID, "err", err)
		case f.Finder < trace.FinderVersion:
			state, err := s.store.LastJob(ctx, RepsKind, f.ID)
			if err != nil {
				return err
			}
			if state != "" && state != store.JobDone {
				continue
			}
			if _, err := s.Search(ctx, f.ID); err != nil {
				return err
			}
		}
	}
	return nil
}

// current returns trace.ErrVersion for a stored trace of another version.
func (s *Proposer) current(ctx context.Context, key string) error {
	f, err := s.blobs.Open(ctx, key)
	if err != nil {
		return err
	}
	defer f.Close()
	head := make([]byte, trace.HeadBytes)
	if _, err := io.ReadFull(f, head); err != nil {
		return err
	}
	return trace.CheckHead(head)
}
