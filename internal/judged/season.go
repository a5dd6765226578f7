package judged

import (
	"context"
	"reflect"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/trust"
)

const (
	keptPitchers = 8  // as many seasons are kept, those looked at last
	fewStale     = 24 // with more bullpens to judge, all reps are read at once
)

// Season is every bullpen of a pitcher, judged.
type Season struct {
	Pitcher bullpen.Pitcher
	// Cards and Sessions are her bullpens, latest first. Sessions' reps hold what numbers
	// over weeks hang on (store.PitcherThrows); they are shared and not to be changed.
	Cards    []store.BullpenCard
	Sessions []trust.Session
}

// kept is a season as it is kept, with the settings that it was judged by.
type kept struct {
	pitcher bullpen.Pitcher
	eye     Eye
	judged  map[string]session // by bullpen
}

type session struct {
	revision int64
	trust.Session
}

// Season returns p's bullpens. A bullpen is judged again only when something in it, or
// in her settings, has changed.
func (s *Bullpens) Season(ctx context.Context, p bullpen.Pitcher) (Season, error) {
	out := Season{Pitcher: p}
	var err error
	if out.Cards, err = s.store.AllBullpens(ctx, p.ID); err != nil {
		return out, err
	}
	eye, err := EyeOf(ctx, s.store)
	if err != nil {
		return out, err
	}
	before := s.look(p, eye)
	var stale []store.BullpenCard
	for _, c := range out.Cards {
		if j, ok := before[c.ID]; !ok || j.revision != c.Revision {
			stale = append(stale, c)
		}
	}
	// Reps are read after the revisions: what changes in between makes a bullpen
	// stale the next time, never fresh with old reps.
	reps, err := s.reps(ctx, p.ID, stale)
	if err != nil {
		return out, err
	}
	timed, err := s.store.TimedBullpens(ctx, p.ID)
	if err != nil {
		return out, err
	}
	for _, c := range stale { // the later ones look back on the earlier
		s.spreads.keep(c, reps[c.ID])
	}
	now := make(map[string]session, len(out.Cards))
	out.Sessions = make([]trust.Session, len(out.Cards))
	for i, c := range out.Cards {
		j, ok := before[c.ID]
		if !ok || j.revision != c.Revision {
			if j, err = s.session(ctx, p, c, reps[c.ID], timed[c.ID]); err != nil {
				return out, err
			}
		}
		now[c.ID], out.Sessions[i] = j, j.Session
	}
	s.keep(kept{p, eye, now})
	return out, nil
}

// session judges one bullpen of a season, with its films and marks where they tell
// something of the body.
func (s *Bullpens) session(ctx context.Context, p bullpen.Pitcher, c store.BullpenCard, reps []bullpen.Rep, timed bool) (session, error) {
	if !timed {
		var err error
		if err = s.lookBack(ctx, &c.Bullpen); err != nil {
			return session{}, err
		}
		return session{c.Revision, trust.Session{Bullpen: c.Bullpen, Reps: reps, Sheet: bullpen.Judge(p, c.Bullpen, nil, reps)}}, nil
	}
	f, err := s.facts(ctx, c.ID)
	if err != nil {
		return session{}, err
	}
	f.Pitcher = p
	b := Of(f)
	return session{c.Revision, trust.Session{Bullpen: c.Bullpen, Reps: b.Reps, Sheet: b.Sheet, Checks: b.Body.Checks, Body: b.Body.Reps}}, nil
}

// look returns what is kept of p's season, nothing if her settings are others now.
func (s *Bullpens) look(p bullpen.Pitcher, eye Eye) map[string]session {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, k := range s.kept {
		if k.eye == eye && reflect.DeepEqual(k.pitcher, p) {
			return k.judged
		}
	}
	return nil
}

func (s *Bullpens) keep(now kept) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.kept = slices.DeleteFunc(s.kept, func(k kept) bool { return k.pitcher.ID == now.pitcher.ID })
	s.kept = slices.Insert(s.kept, 0, now)
	s.kept = s.kept[:min(len(s.kept), keptPitchers)]
}

// reps reads the reps of the given bullpens.
func (s *Bullpens) reps(ctx context.Context, pitcherID string, of []store.BullpenCard) (map[string][]bullpen.Rep, error) {
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
