package store

import "sync"

// Change is something that happened to the data.
type Change struct {
	BullpenID string // "" when it was a job without a bullpen
	Revision  int64  // the bullpen's latest
	Jobs      bool   // the queue changed too
}

// hub tells everybody who listens what was committed.
type hub struct {
	mu      sync.Mutex
	next    int
	waiting map[int]chan Change
}

// Watch returns a channel of changes from now on and a function that ends it. A
// listener that falls 64 changes behind loses the oldest; since revisions only
// rise, reading the bullpen again makes up for it.
func (s *Store) Watch() (<-chan Change, func()) {
	s.hub.mu.Lock()
	defer s.hub.mu.Unlock()
	if s.hub.waiting == nil {
		s.hub.waiting = map[int]chan Change{}
	}
	s.hub.next++
	id, ch := s.hub.next, make(chan Change, 64)
	s.hub.waiting[id] = ch
	return ch, func() {
		s.hub.mu.Lock()
		defer s.hub.mu.Unlock()
		delete(s.hub.waiting, id)
	}
}

func (h *hub) tell(changed map[string]int64, jobs bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, ch := range h.waiting {
		for id, revision := range changed {
			offer(ch, Change{BullpenID: id, Revision: revision, Jobs: jobs})
		}
		if jobs && len(changed) == 0 {
			offer(ch, Change{Jobs: true})
		}
	}
}

func offer(ch chan Change, c Change) {
	for {
		select {
		case ch <- c:
			return
		default:
		}
		select {
		case <-ch:
		default:
		}
	}
}
