// Package season holds what is followed over weeks: every bullpen of a pitcher,
// judged. A bullpen is judged again only when something in it, or in her settings,
// has changed.
package season

import (
	"context"
	"reflect"
	"slices"
	"sync"

	"tenoff/internal/bullpen"
	"tenoff/internal/pace"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/trust"
)

const (
	keptPitchers = 8  // as many seasons are kept, those looked at last
	fewStale     = 24 // with more bullpens to judge, all reps are read at once
)

// Seasons gives pitchers' seasons. It may be used from several goroutines.
type Seasons struct {
	store *store.Store
	mu    sync.Mutex
	kept  []season // looked at last first
}

// season is one pitcher's, with the settings that it was judged by.
type season struct {
	pitcher bullpen.Pitcher
	eye     pace.Eye
	judged  map[string]judged // by bullpen
}

type judged struct {
	revision int64
	session  trust.Session
}

// New returns seasons over a store.
func New(s *store.Store) *Seasons { return &Seasons{store: s} }

// Of returns p's bullpens as cards and as judged sessions, both latest first.
// Sessions' reps hold what numbers over weeks hang on (store.PitcherThrows); they
// are shared and not to be changed.
func (s *Seasons) Of(ctx context.Context, p bullpen.Pitcher) ([]store.BullpenCard, []trust.Session, error) {
	cards, err := s.store.AllBullpens(ctx, p.ID)
	if err != nil {
		return nil, nil, err
	}
	eye, err := pace.EyeOf(ctx, s.store)
	if err != nil {
		return nil, nil, err
	}
	before := s.look(p, eye)
	var stale []store.BullpenCard
	for _, c := range cards {
		if j, ok := before[c.ID]; !ok || j.revision != c.Revision {
			stale = append(stale, c)
		}
	}
	// Reps are read after the revisions: what changes in between makes a bullpen
	// stale the next time, never fresh with old reps.
	reps, err := s.reps(ctx, p.ID, stale)
	if err != nil {
		return nil, nil, err
	}
	timed, err := s.store.TimedBullpens(ctx, p.ID)
	if err != nil {
		return nil, nil, err
	}
	now := make(map[string]judged, len(cards))
	sessions := make([]trust.Session, len(cards))
	for i, c := range cards {
		j, ok := before[c.ID]
		if !ok || j.revision != c.Revision {
			j = judged{c.Revision, trust.Session{
				Bullpen: c.Bullpen, Reps: reps[c.ID], Sheet: bullpen.Judge(p, c.Bullpen, nil, reps[c.ID]),
			}}
			if timed[c.ID] {
				if j.session.Checks, err = s.checks(ctx, p, j.session); err != nil {
					return nil, nil, err
				}
			}
		}
		now[c.ID], sessions[i] = j, j.session
	}
	s.keep(season{p, eye, now})
	return cards, sessions, nil
}

// checks asks of a bullpen whether the body slowed down. Nothing else of what is
// followed over weeks hangs on a film's clock.
func (s *Seasons) checks(ctx context.Context, p bullpen.Pitcher, of trust.Session) ([]tempo.Check, error) {
	films, err := s.store.Films(ctx, of.Bullpen.ID)
	if err != nil {
		return nil, err
	}
	reps, err := s.store.Reps(ctx, of.Bullpen.ID) // with their marks
	if err != nil {
		return nil, err
	}
	known, err := pace.Of(ctx, s.store, p, of.Bullpen, films, reps, of.Sheet)
	return known.Body.Checks, err
}

// look returns what is kept of p's season, nothing if her settings are others now.
func (s *Seasons) look(p bullpen.Pitcher, eye pace.Eye) map[string]judged {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, k := range s.kept {
		if k.eye == eye && reflect.DeepEqual(k.pitcher, p) {
			return k.judged
		}
	}
	return nil
}

func (s *Seasons) keep(now season) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.kept = slices.DeleteFunc(s.kept, func(k season) bool { return k.pitcher.ID == now.pitcher.ID })
	s.kept = slices.Insert(s.kept, 0, now)
	s.kept = s.kept[:min(len(s.kept), keptPitchers)]
}

// reps reads the reps of the given bullpens.
func (s *Seasons) reps(ctx context.Context, pitcherID string, of []store.BullpenCard) (map[string][]bullpen.Rep, error) {
	out := make(map[string][]bullpen.Rep, len(of))
	if len(of) <= fewStale {
		for _, c := range of {
			reps, err := s.store.Reps(ctx, c.ID)
			if err != nil {
				return nil, err
			}
			out[c.ID] = reps
		}
		return out, nil
	}
	all, err := s.store.PitcherThrows(ctx, pitcherID)
	for _, r := range all {
		out[r.BullpenID] = append(out[r.BullpenID], r)
	}
	return out, err
}
