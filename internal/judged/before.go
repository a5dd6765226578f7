package judged

import (
	"context"
	"sync"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// lookBack fills in what her bullpens before say of her: what she usually throws, and how
// much that differs from rep to rep. A change in one of them raises the revision of those
// that look back on it, so that whatever is kept by revision follows.
func (s *Bullpens) lookBack(ctx context.Context, pen *bullpen.Bullpen) (err error) {
	if pen.Usual, err = s.store.Usual(ctx, *pen); err != nil {
		return err
	}
	before, err := s.store.Earlier(ctx, *pen)
	if err != nil {
		return err
	}
	var of []bullpen.Spreads
	for _, c := range before {
		if c.Spreads == nil {
			known := false
			if c.Spreads, known = s.spreads.look(c.BullpenCard); !known {
				reps, err := s.store.Reps(ctx, c.ID)
				if err != nil {
					return err
				}
				c.Spreads = s.spreads.keep(c.BullpenCard, reps)
			}
		}
		of = append(of, c.Spreads)
	}
	pen.Spreads = bullpen.PooledSpreads(of)
	return nil
}

// keptSpreads is how many bullpens' spreads are kept.
const keptSpreads = 4096

// spreadsIn keeps the spreads of bullpens, each as it was at a revision.
type spreadsIn struct {
	mu   sync.Mutex
	kept map[string]spreadsAt // by bullpen
}

type spreadsAt struct {
	revision int64
	spreads  bullpen.Spreads
}

func (k *spreadsIn) look(c store.BullpenCard) (bullpen.Spreads, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	at, ok := k.kept[c.ID]
	return at.spreads, ok && at.revision == c.Revision
}

// keep works them out from reps that were read after the revision.
func (k *spreadsIn) keep(c store.BullpenCard, reps []bullpen.Rep) bullpen.Spreads {
	out := bullpen.SpreadsIn(c.Bullpen, reps)
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.kept == nil || len(k.kept) >= keptSpreads {
		k.kept = map[string]spreadsAt{}
	}
	k.kept[c.ID] = spreadsAt{c.Revision, out}
	return out
}
