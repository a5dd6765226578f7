package propose

import (
	"context"
	"encoding/json"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/trace"
)

// InstantsKind is the kind of job that finds the four instants in every rep of a
// bullpen from those marked on its fastballs; its subject is the bullpen.
const InstantsKind = "find instants"

// SearchInstants queues a search for instants in a bullpen's reps, asked for or not.
func (s *Proposer) SearchInstants(ctx context.Context, bullpenID string) (store.Job, error) {
	p, err := s.pen(ctx, bullpenID)
	if err != nil {
		return store.Job{}, err
	}
	if !p.hasReference() {
		return store.Job{}, bullpen.Errorf(bullpen.Invalid, "Mark drive, plant, top and release on one %s first; the other reps are found from it.", p.fast())
	}
	return s.searchInstants(ctx, bullpenID, true)
}

// again is a job's payload: look even if nothing has changed.
type again struct {
	Asked bool `json:"asked,omitempty"`
}

func (s *Proposer) searchInstants(ctx context.Context, bullpenID string, asked bool) (store.Job, error) {
	payload, err := json.Marshal(again{asked})
	if err != nil {
		return store.Job{}, err
	}
	return s.store.AddJob(ctx, store.NewJob{Kind: InstantsKind, Subject: bullpenID, BullpenID: bullpenID, Payload: string(payload)})
}

// isLast reports whether the last search saw what digest stands for.
func isLast(last []store.InstantSearch, digest string) bool {
	return len(last) > 0 && !slices.ContainsFunc(last, func(f store.InstantSearch) bool { return f.Inputs != digest })
}

// FindInstants is the handler of jobs of InstantsKind. What the search hung on may change
// while it runs: nothing of it is kept then, and it is done again.
func (s *Proposer) FindInstants(ctx context.Context, job store.Job, progress func(done float64)) error {
	var how again
	if err := json.Unmarshal([]byte(job.Payload), &how); err != nil {
		return err
	}
	for {
		p, err := s.pen(ctx, job.Subject)
		if bullpen.CodeOf(err) == bullpen.NotFound {
			return nil // removed meanwhile
		}
		if err != nil {
			return err
		}
		last, err := s.store.InstantSearch(ctx, p.id)
		if err != nil || !how.Asked && isLast(last, p.digest()) {
			return err
		}
		found, err := s.search(ctx, p, progress)
		if err != nil && !s.gone(ctx, p) {
			return err
		}
		if err != nil {
			continue // a film was removed meanwhile
		}
		if kept, err := s.keep(ctx, p, found); kept || err != nil {
			return err
		}
	}
}

// search follows a bullpen's films, place by place.
func (s *Proposer) search(ctx context.Context, p instantInputs, progress func(done float64)) (out instantsFound, err error) {
	if !p.hasReference() {
		return out, nil
	}
	groups := p.groups()
	for i, g := range groups {
		share := func(done float64) { progress((float64(i) + done) / float64(len(groups))) }
		if err := s.instantsOfGroup(ctx, g, &out, share); err != nil {
			return out, err
		}
	}
	digest := p.digest()
	for i := range out.films {
		out.films[i].Inputs = digest
	}
	return out, nil
}

// keep stores what a search found, if all that it hung on is still so.
func (s *Proposer) keep(ctx context.Context, p instantInputs, found instantsFound) (kept bool, err error) {
	for digest := p.digest(); ; {
		err := s.store.KeepInstants(ctx, p.id, p.revision, found.films, found.reps)
		if bullpen.CodeOf(err) == bullpen.NotFound {
			return true, nil // there is nothing to keep it for
		}
		if bullpen.CodeOf(err) != bullpen.Conflict {
			return err == nil, err
		}
		now, err := s.pen(ctx, p.id)
		if bullpen.CodeOf(err) == bullpen.NotFound {
			return true, nil
		}
		if err != nil || now.digest() != digest {
			return false, err
		}
		p.revision = now.revision // something else has changed
	}
}

// gone reports whether a film of the bullpen is no longer there.
func (s *Proposer) gone(ctx context.Context, p instantInputs) bool {
	return slices.ContainsFunc(p.films, func(f store.Film) bool {
		_, err := s.store.Film(ctx, f.ID)
		return bullpen.CodeOf(err) == bullpen.NotFound
	})
}

// Round returns how much moved on a film round a rep's release, see tempo.MotionAround.
func (s *Proposer) Round(ctx context.Context, f store.Film, r bullpen.Rep) ([]float32, error) {
	if r.Release < 0 || r.Release >= f.Clock.Frames() {
		return nil, nil
	}
	motion := new(trace.Motion)
	if err := s.blobs.Load(ctx, f.Made.Motion, motion); err != nil {
		return nil, err
	}
	motion.Slow = f.Clock.SlowFactor()
	return tempo.MotionAround(motion, f.Clock.RealSeconds(0, r.Release)), nil
}
