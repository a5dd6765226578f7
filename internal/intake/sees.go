package intake

import (
	"log/slog"
	"sync"
	"sync/atomic"

	"tenoff/internal/trace"
)

// sees has reps looked for in a film as it is read, one look at a time: what was measured
// while one is under way is left to the next.
type sees struct {
	look func(*trace.Motion) error
	log  *slog.Logger
	busy atomic.Bool
	work sync.WaitGroup
}

func (s *sees) further(m *trace.Motion) {
	if !s.busy.CompareAndSwap(false, true) {
		return
	}
	s.work.Go(func() {
		defer s.busy.Store(false)
		if err := s.look(m); err != nil {
			s.log.Warn("nothing is proposed in a film that is being read", "err", err)
		}
	})
}

// end waits for a look that is under way: what is found in the whole film comes after it.
func (s *sees) end() { s.work.Wait() }
