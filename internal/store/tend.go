package store

import (
	"context"
	"log/slog"
	"time"
)

// A deletion seldom comes alone, and each cleaning rewrites the whole database: it
// waits until nothing more was deleted for a moment, but not for ever.
const (
	quiet = time.Second
	waits = 10 // such moments at most
)

const (
	pruning  = time.Hour        // how often old copies are looked for
	slowDown = 10 * time.Minute // how long to wait at most after cleaning has failed again
)

// Tend cleans until ctx ends: at once what an earlier program has left, from then on
// what is deleted, here or by another program, within seconds. Whoever deletes waits
// for none of it.
func (s *Store) Tend(ctx context.Context, log *slog.Logger) error {
	if s.dir == "" {
		<-ctx.Done()
		return nil
	}
	seen, waited, failed := s.due(), 0, 0
	var cleaned time.Time
	for pause := time.Duration(0); ; {
		select {
		case <-ctx.Done():
			return nil
		case <-time.After(pause):
		}
		pause = quiet
		now := s.due()
		if now != seen && waited < waits {
			seen = now
			waited++
			continue
		}
		waited = 0
		if now == (debts{}) && time.Since(cleaned) < pruning {
			continue
		}
		err := s.Clean(ctx)
		switch {
		case ctx.Err() != nil:
		case err != nil:
			failed++
			pause = min(quiet<<min(failed, 20), slowDown)
			log.WarnContext(ctx, "traces of what was deleted can't be cleaned away; it is tried again", "err", err)
		default:
			failed, cleaned = 0, time.Now()
		}
		seen = s.due()
	}
}
