package store

import (
	"cmp"
	"sync"

	"tenoff/internal/errand"
)

// Change is something that happened to the data.
type Change struct {
	Academy   string // whose bullpen it is
	BullpenID string // "" when it was a job without a bullpen
	Revision  int64  // the bullpen's latest
	Jobs      bool   // a job changed, if only its progress
	Queue     bool   // there may be a job to take or to stop
	Sessions  bool   // somebody was signed out
	Behind    bool   // revisions are still to rise, see CatchUp
	Errand    string `json:",omitempty"` // that it belongs to, "" for none: what follows from it does too
}

// hub tells everybody who listens what was committed.
type hub struct {
	mu        sync.Mutex
	listeners map[*listener]struct{}
}

// listener holds what one listener was not told yet: the latest of each bullpen. A
// slow one holds nobody up and misses nothing but what was overtaken.
type listener struct {
	mu      sync.Mutex
	order   []string
	pending map[string]Change
	ready   chan struct{} // holds a token while something is pending
}

// Watch returns a channel of changes from now on and a function that ends it. Of
// several changes to one bullpen that nobody took yet only the latest is told.
func (s *Store) Watch() (changes <-chan Change, stop func()) {
	l := &listener{pending: map[string]Change{}, ready: make(chan struct{}, 1)}
	s.hub.mu.Lock()
	if s.hub.listeners == nil {
		s.hub.listeners = map[*listener]struct{}{}
	}
	s.hub.listeners[l] = struct{}{}
	s.hub.mu.Unlock()

	out, quit, gone := make(chan Change), make(chan struct{}), make(chan struct{})
	go func() {
		defer close(gone)
		l.pass(out, quit)
	}()
	var once sync.Once
	return out, func() {
		once.Do(func() {
			s.hub.mu.Lock()
			delete(s.hub.listeners, l)
			s.hub.mu.Unlock()
			close(quit)
			<-gone
		})
	}
}

// pass hands on what is pending until quit.
func (l *listener) pass(out chan<- Change, quit <-chan struct{}) {
	for {
		select {
		case <-quit:
			return
		case <-l.ready:
		}
		for c, ok := l.next(); ok; c, ok = l.next() {
			select {
			case <-quit:
				return
			case out <- c:
			}
		}
	}
}

func (l *listener) next() (c Change, ok bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.order) == 0 {
		return Change{}, false
	}
	c = l.pending[l.order[0]]
	delete(l.pending, l.order[0])
	l.order = l.order[1:]
	return c, true
}

func (l *listener) put(c Change) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if last, waiting := l.pending[c.BullpenID]; waiting {
		// Those who commit one after the other may get here the other way round.
		c.Jobs, c.Queue, c.Revision = c.Jobs || last.Jobs, c.Queue || last.Queue, max(c.Revision, last.Revision)
		c.Sessions, c.Behind = c.Sessions || last.Sessions, c.Behind || last.Behind
		c.Errand = cmp.Or(c.Errand, last.Errand)
	} else {
		l.order = append(l.order, c.BullpenID)
	}
	l.pending[c.BullpenID] = c
	select {
	case l.ready <- struct{}{}:
	default:
	}
}

// tell tells everybody here what was committed.
func (h *hub) tell(changes ...Change) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for l := range h.listeners {
		for _, c := range changes {
			l.put(c)
		}
	}
}

// changes are what a transaction changed.
func (t *tx) changes() (out []Change) {
	for id, revision := range t.changed {
		out = append(out, Change{Academy: t.academy, BullpenID: id, Revision: revision, Jobs: t.jobs, Queue: t.queue, Errand: errand.Of(t.ctx)})
	}
	if t.jobs && len(t.changed) == 0 {
		out = append(out, Change{Jobs: true, Queue: t.queue})
	}
	if t.sessions {
		out = append(out, Change{Sessions: true})
	}
	if t.behind {
		out = append(out, Change{Academy: t.academy, Behind: true})
	}
	return out
}
