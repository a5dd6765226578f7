package scout

import (
	"context"
	"encoding/json"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/trace"
)

// FollowKind is the kind of job that finds the four instants in every rep of a
// bullpen from those marked on its fastballs; its subject is the bullpen.
const FollowKind = "find instants"

// Follow queues a search for instants in a bullpen's reps, asked for or not.
func (s *Scout) Follow(ctx context.Context, bullpenID string) (store.Job, error) {
	p, err := s.pen(ctx, bullpenID)
	if err != nil {
		return store.Job{}, err
	}
	if !p.hasReference() {
		return store.Job{}, bullpen.Errorf(bullpen.Invalid, "Mark drive, plant, top and release on one %s first; the other reps are found from it.", p.fast())
	}
	return s.follow(ctx, bullpenID, true)
}

// FollowAgain queues a search for instants if anything that it hangs on has changed
// since the last one.
func (s *Scout) FollowAgain(ctx context.Context, bullpenID string) error {
	p, err := s.pen(ctx, bullpenID)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil
	}
	if err != nil {
		return err
	}
	last, err := s.store.Followed(ctx, bullpenID)
	if err != nil || len(last) == 0 && !p.hasReference() || isLast(last, p.digest()) {
		return err
	}
	_, err = s.follow(ctx, bullpenID, false)
	return err
}

// again is a job's payload: look even if nothing has changed.
type again struct {
	Asked bool `json:"asked,omitempty"`
}

func (s *Scout) follow(ctx context.Context, bullpenID string, asked bool) (store.Job, error) {
	payload, err := json.Marshal(again{asked})
	if err != nil {
		return store.Job{}, err
	}
	return s.store.AddJob(ctx, store.NewJob{Kind: FollowKind, Subject: bullpenID, BullpenID: bullpenID, Payload: string(payload)})
}

// isLast reports whether the last search saw what digest stands for.
func isLast(last []store.Followed, digest string) bool {
	return len(last) > 0 && !slices.ContainsFunc(last, func(f store.Followed) bool { return f.Inputs != digest })
}

// FindInstants is the handler of jobs of FollowKind.
func (s *Scout) FindInstants(ctx context.Context, job store.Job, progress func(done float64)) error {
	p, err := s.pen(ctx, job.Subject)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // removed meanwhile
	}
	if err != nil {
		return err
	}
	var how again
	if err := json.Unmarshal([]byte(job.Payload), &how); err != nil {
		return err
	}
	last, err := s.store.Followed(ctx, job.Subject)
	if err != nil {
		return err
	}
	digest := p.digest()
	if !how.Asked && isLast(last, digest) {
		return nil
	}
	var out followed
	if p.hasReference() {
		groups := p.groups()
		for i, g := range groups {
			share := func(done float64) { progress((float64(i) + done) / float64(len(groups))) }
			err := s.followGroup(ctx, g, &out, share)
			if err != nil && s.gone(ctx, g) {
				return s.FollowAgain(ctx, job.Subject) // a film was removed meanwhile
			}
			if err != nil {
				return err
			}
		}
	}
	for i := range out.films {
		out.films[i].Inputs = digest
	}
	err = s.store.KeepInstants(ctx, job.Subject, out.films, out.reps)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil
	}
	return err
}

// gone reports whether a film of the group is no longer there.
func (s *Scout) gone(ctx context.Context, g group) bool {
	return slices.ContainsFunc(g.films, func(f store.Film) bool {
		_, err := s.store.Film(ctx, f.ID)
		return bullpen.CodeOf(err) == bullpen.NotFound
	})
}

// Round returns how much moved on a film round a rep's release, see tempo.Round.
func (s *Scout) Round(f store.Film, r bullpen.Rep) ([]float32, error) {
	if r.Release < 0 || r.Release >= f.Clock.Frames() {
		return nil, nil
	}
	motion := new(trace.Motion)
	if err := s.load(f.Made.Motion, motion); err != nil {
		return nil, err
	}
	motion.Slow = f.Clock.SlowFactor()
	return tempo.Round(motion, f.Clock.RealSeconds(0, r.Release)), nil
}
