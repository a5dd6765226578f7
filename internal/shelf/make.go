package shelf

import (
	"context"
	"path/filepath"

	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/judged"
	"tenoff/internal/store"
)

// Make puts clips of a bullpen's reps on the shelf: of those named, or of all that
// have a release mark. A clip that would show nothing new is left as it is; the
// others are queued to be rendered. left says in sentences which of the reps can't
// have a clip.
func (s *Shelf) Make(ctx context.Context, bullpenID string, repIDs []string, o Options) (clips []store.Clip, left []string, err error) {
	b, err := s.judged.Of(ctx, bullpenID)
	if err != nil {
		return nil, nil, err
	}
	if len(repIDs) == 0 {
		for _, r := range b.Reps {
			if r.FilmID != "" && r.Release != bullpen.Unmarked {
				repIDs = append(repIDs, r.ID)
			}
		}
	}
	have, err := s.store.Clips(ctx, bullpenID)
	if err != nil {
		return nil, nil, err
	}
	for _, id := range repIDs {
		x, err := shotOf(b, id)
		if err != nil {
			left = append(left, bullpen.MessageOf(err))
			continue
		}
		sc, err := s.newScene(ctx, o, x)
		if err != nil {
			return clips, left, err
		}
		c, err := s.put(ctx, sc, have)
		if err != nil {
			return clips, left, err
		}
		clips = append(clips, c)
	}
	return clips, left, nil
}

// MakePair puts a side by side on the shelf: the off-speed rep, and the fast one,
// of whatever bullpen; "" is the baseline pitch nearest to its baseline.
func (s *Shelf) MakePair(ctx context.Context, offID, fastID string, o Options) (store.Clip, error) {
	off, err := s.find(ctx, offID)
	if err != nil {
		return store.Clip{}, err
	}
	var fast shot
	if fastID == "" {
		partner, err := off.of.Partner(off.rep)
		if err != nil {
			return store.Clip{}, err
		}
		if fast, err = shotOf(off.of, partner.ID); err != nil {
			return store.Clip{}, err
		}
	} else if fast, err = s.find(ctx, fastID); err != nil {
		return store.Clip{}, err
	}
	if off.rep.ID == fast.rep.ID {
		return store.Clip{}, bullpen.Errorf(bullpen.Invalid, "Choose two different reps for a side by side.")
	}
	have, err := s.store.Clips(ctx, off.rep.BullpenID)
	if err != nil {
		return store.Clip{}, err
	}
	sc, err := s.newScene(ctx, o, off, fast)
	if err != nil {
		return store.Clip{}, err
	}
	return s.put(ctx, sc, have)
}

// find finds a rep in whatever bullpen it is.
func (s *Shelf) find(ctx context.Context, repID string) (shot, error) {
	r, err := s.store.Rep(ctx, repID)
	if err != nil {
		return shot{}, err
	}
	b, err := s.judged.Of(ctx, r.BullpenID)
	if err != nil {
		return shot{}, err
	}
	return shotOf(b, repID)
}

// put queues a scene unless the shelf has it or is about to.
func (s *Shelf) put(ctx context.Context, sc scene, have []store.Clip) (store.Clip, error) {
	// What can't be planned is said at once, not by a failed job.
	where := func(f store.Film) (path string, cut film.Cut, err error) { // nothing is cut yet
		key, cut, err := s.cutting(ctx, f)
		if err == nil {
			path, err = filepath.Abs(key)
		}
		return path, cut, err
	}
	if _, err := sc.plan(where, s.motion(ctx)); err != nil {
		return store.Clip{}, err
	}
	digest, err := sc.digest()
	if err != nil {
		return store.Clip{}, err
	}
	row := sc.row()
	for _, c := range have {
		o, err := optionsFrom(c.Options)
		if err != nil || !sc.replaces(c, o) {
			continue
		}
		if c.Made != "" && c.Shows == digest && c.State == ready {
			return c, nil
		}
		if o == sc.Options {
			waits, err := s.waits(ctx, c)
			if err != nil || waits {
				return c, err
			}
		}
		row.ID, row.Shows, row.Bytes, row.Seconds, row.ReleaseAt, row.Made = c.ID, c.Shows, c.Bytes, c.Seconds, c.ReleaseAt, c.Made
		break
	}
	return s.store.QueueClip(ctx, row, store.NewJob{Kind: Kind, Payload: "{}"})
}

// waits reports whether a clip's job has not begun: it will show what is true then.
func (s *Shelf) waits(ctx context.Context, c store.Clip) (bool, error) {
	j, err := s.store.Job(ctx, c.JobID)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return false, nil
	}
	return err == nil && j.State == store.JobQueued, err
}

// replaces reports whether the scene takes the place of clip c made with o: there
// is one clip of a rep, and one side by side of two reps at one speed in one
// manner.
func (sc scene) replaces(c store.Clip, o Options) bool {
	row := sc.row()
	return c.Kind == row.Kind && c.RepID == row.RepID && c.OtherID == row.OtherID &&
		(row.Kind == singleKind || o.Speed == sc.Options.Speed && o.Blend == sc.Options.Blend &&
			o.Difference == sc.Options.Difference && o.Stretch == sc.Options.Stretch)
}

// scene reads what a stored clip would show now.
func (s *Shelf) scene(ctx context.Context, c store.Clip, known map[string]judged.Bullpen) (scene, error) {
	o, err := optionsFrom(c.Options)
	if err != nil {
		return scene{}, err
	}
	var shots []shot
	for _, id := range []string{c.RepID, c.OtherID} {
		if id == "" {
			continue
		}
		x, err := s.findIn(ctx, id, known)
		if err != nil {
			return scene{}, err
		}
		shots = append(shots, x)
	}
	return s.newScene(ctx, o, shots...)
}

// findIn is find with the bullpens that are judged already; it adds to them.
func (s *Shelf) findIn(ctx context.Context, repID string, known map[string]judged.Bullpen) (shot, error) {
	for _, b := range known {
		x, err := shotOf(b, repID)
		if bullpen.CodeOf(err) != bullpen.NotFound {
			return x, err
		}
	}
	x, err := s.find(ctx, repID)
	if x.of.Pen.ID != "" {
		known[x.of.Pen.ID] = x.of
	}
	return x, err
}
