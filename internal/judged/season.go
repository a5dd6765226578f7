package judged

import (
	"context"
	"encoding/json"
	"reflect"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/trust"
)

const (
	keptPitchers = 8  // as many seasons are kept, those looked at last
	fewStale     = 24 // with more bullpens to judge, what is stored of them is read first, and all reps at once
)

// Season is every bullpen of a pitcher, judged.
type Season struct {
	Pitcher bullpen.Pitcher
	// Cards and Weeks are her bullpens, latest first. Weeks are shared and not to be changed.
	Cards []store.BullpenCard
	Weeks []trust.Week
}

// kept is a season as it is kept, with the settings that it was judged by.
type kept struct {
	pitcher bullpen.Pitcher
	eye     Eye
	judged  map[string]week // by bullpen
}

type week struct {
	revision int64
	trust.Week
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
	before := s.remembered(p, eye)
	stale := staleAmong(out.Cards, before)
	if len(stale) > fewStale {
		if before, err = s.stored(ctx, p, out.Cards, before); err != nil {
			return out, err
		}
		stale = staleAmong(out.Cards, before)
	}
	// Reps are read after the revisions: what changes in between makes a bullpen
	// stale the next time, never fresh with old reps.
	reps, err := s.reps(ctx, p.ID, stale)
	if err != nil {
		return out, err
	}
	var timed map[string]bool
	if len(stale) > 0 {
		if timed, err = s.store.TimedBullpens(ctx, p.ID); err != nil {
			return out, err
		}
	}
	for _, c := range stale { // the later ones look back on the earlier
		s.spreads.keep(c, reps[c.ID])
	}
	now := make(map[string]week, len(out.Cards))
	out.Weeks = make([]trust.Week, len(out.Cards))
	for i, c := range out.Cards {
		j, ok := asNow(before, c)
		if !ok {
			if j, err = s.week(ctx, p, c, reps[c.ID], timed[c.ID]); err != nil {
				return out, err
			}
		}
		now[c.ID], out.Weeks[i] = j, j.Week
	}
	s.keep(kept{p, eye, now})
	return out, nil
}

// week judges one bullpen of a season, with its films and marks where they tell something
// of the body.
func (s *Bullpens) week(ctx context.Context, p bullpen.Pitcher, c store.BullpenCard, reps []bullpen.Rep, timed bool) (week, error) {
	if !timed {
		var err error
		if err = s.lookBack(ctx, &c.Bullpen); err != nil {
			return week{}, err
		}
		return week{c.Revision, trust.Session{Bullpen: c.Bullpen, Reps: reps, Sheet: bullpen.Judge(p, c.Bullpen, nil, reps)}.Week()}, nil
	}
	f, err := s.facts(ctx, c.ID)
	if err != nil {
		return week{}, err
	}
	f.Pitcher = p
	return week{c.Revision, Of(f).Week()}, nil
}

// Week is what the bullpen adds to what is followed over weeks.
func (b Bullpen) Week() trust.Week {
	return trust.Session{Bullpen: b.Pen, Reps: b.Reps, Sheet: b.Sheet, Checks: b.Body.Checks, Body: b.Body.Reps}.Week()
}

// asNow returns a bullpen's week if it is known as the bullpen is now.
func asNow(known map[string]week, c store.BullpenCard) (w week, ok bool) {
	w, ok = known[c.ID]
	return w, ok && w.revision == c.Revision
}

// staleAmong lists those of the bullpens of which no week is known as they are now.
func staleAmong(cards []store.BullpenCard, known map[string]week) (stale []store.BullpenCard) {
	for _, c := range cards {
		if _, ok := asNow(known, c); !ok {
			stale = append(stale, c)
		}
	}
	return stale
}

// stored reads the weeks that are stored of p's bullpens, beside those remembered that are
// known as they are now.
func (s *Bullpens) stored(ctx context.Context, p bullpen.Pitcher, cards []store.BullpenCard, remembered map[string]week) (map[string]week, error) {
	by, err := s.method(ctx)
	if err != nil {
		return nil, err
	}
	kept, err := s.store.KeptWeeks(ctx, p.ID, by)
	if err != nil {
		return nil, err
	}
	texts := make(map[string]store.KeptWeek, len(kept))
	for _, k := range kept {
		texts[k.BullpenID] = k
	}
	known := make(map[string]week, len(cards))
	for _, c := range cards {
		if w, ok := asNow(remembered, c); ok {
			known[c.ID] = w
			continue
		}
		k, ok := texts[c.ID]
		var w trust.Week
		if !ok || json.Unmarshal(k.Week, &w) != nil {
			continue // what is not there, or can't be read, is judged anew
		}
		known[c.ID] = week{k.Revision, w.In(c.Bullpen)}
	}
	return known, nil
}

// remembered returns what is kept of p's season, nothing if her settings are others now.
func (s *Bullpens) remembered(p bullpen.Pitcher, eye Eye) map[string]week {
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
