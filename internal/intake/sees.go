package intake

import (
	"fmt"
	"runtime/debug"
	"sync"
	"sync/atomic"

	"tenoff/internal/trace"
)

// sees has reps looked for in a film as it is read, one look at a time: what was measured
// while one is under way is left to the next.
type sees struct {
	look func(*trace.Motion) error
	say  func(error) // that a look failed
	busy atomic.Bool
	work sync.WaitGroup
}

func (s *sees) further(m *trace.Motion) {
	if !s.busy.CompareAndSwap(false, true) {
		return
	}
	s.work.Go(func() {
		defer s.busy.Store(false)
		if err := s.once(m); err != nil {
			s.say(err)
		}
	})
}

// once looks, and has a look that panics end as one that fails: the film is read all the same.
func (s *sees) once(m *trace.Motion) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("looking for reps: %v\n%s", p, debug.Stack())
		}
	}()
	return s.look(m)
}

// end waits for a look that is under way: what is found in the whole film comes after it.
func (s *sees) end() { s.work.Wait() }
