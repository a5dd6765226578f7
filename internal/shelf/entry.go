package shelf

import (
	"context"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/store"
)

// Entry is a clip as the shelf shows it.
type Entry struct {
	store.Clip      // State and Problem as its job has them: queued, rendering, ready, failed, cancelled
	Made       bool // there is a file to play, perhaps an older one than asked for
	Stale      bool // something it shows has changed since it was made
	Drawings   bool // it shows what was drawn
	Lines      bool // it shows how her trunk and hips lie
	Progress   float64
}

// Entries lists the clips of a bullpen, which b is.
func (s *Shelf) Entries(ctx context.Context, b judged.Bullpen) ([]Entry, error) {
	clips, err := s.store.Clips(ctx, b.Pen.ID)
	if err != nil || len(clips) == 0 {
		return nil, err
	}
	jobs, err := s.store.Jobs(ctx, b.Pen.ID)
	if err != nil {
		return nil, err
	}
	byID := map[string]store.Job{}
	for _, j := range jobs {
		byID[j.ID] = j
	}
	known := map[string]judged.Bullpen{b.Pen.ID: b}
	entries := make([]Entry, len(clips))
	for i, c := range clips {
		j, pending := byID[c.JobID]
		if entries[i], err = s.entry(ctx, c, j, pending, known); err != nil {
			return nil, err
		}
	}
	return entries, nil
}

// Entry returns one clip.
func (s *Shelf) Entry(ctx context.Context, id string) (Entry, error) {
	c, err := s.store.Clip(ctx, id)
	if err != nil {
		return Entry{}, err
	}
	j, err := s.store.Job(ctx, c.JobID)
	if err != nil && bullpen.CodeOf(err) != bullpen.NotFound {
		return Entry{}, err
	}
	pending := err == nil && j.State != store.JobDone && j.State != store.JobCancelled
	return s.entry(ctx, c, j, pending, map[string]judged.Bullpen{})
}

// entry joins a clip with its job, if that has not come to a good end, and with
// what it would show now.
func (s *Shelf) entry(ctx context.Context, c store.Clip, j store.Job, pending bool, known map[string]judged.Bullpen) (Entry, error) {
	e := Entry{Clip: c, Made: c.Made != ""}
	switch {
	case !pending && c.State != ready:
		e.State = string(store.JobCancelled)
	case pending && j.State == store.JobFailed:
		e.State, e.Problem = string(store.JobFailed), j.Problem
	case pending && j.State == store.JobRunning:
		e.State, e.Progress = rendering, j.Progress
	case pending && c.State != ready:
		e.State = string(store.JobQueued)
	}
	sc, err := s.scene(ctx, c, known)
	if err != nil {
		switch bullpen.CodeOf(err) {
		case bullpen.NotFound, bullpen.Invalid, bullpen.Unavailable:
			e.Stale = e.Made // what it shows can't be shown any more
			return e, nil
		}
		return e, err
	}
	digest, err := sc.digest()
	if err != nil {
		return e, err
	}
	e.FileName, e.Drawings, e.Lines, e.Stale = sc.name(), sc.Options.Drawings, sc.Options.Lines, e.Made && digest != c.Shows
	return e, nil
}

// File opens a finished clip.
func (s *Shelf) File(ctx context.Context, id string) (blob.File, store.Clip, error) {
	c, err := s.store.Clip(ctx, id)
	return s.open(ctx, c, err, func(m made) string { return m.Film })
}

// VTT opens a finished clip's captions for the page.
func (s *Shelf) VTT(ctx context.Context, id string) (blob.File, store.Clip, error) {
	c, err := s.store.Clip(ctx, id)
	return s.open(ctx, c, err, func(m made) string { return m.VTT })
}

// SRT opens a finished clip's captions as a file to go beside it.
func (s *Shelf) SRT(ctx context.Context, id string) (blob.File, store.Clip, error) {
	c, err := s.store.Clip(ctx, id)
	return s.open(ctx, c, err, func(m made) string { return m.SRT })
}

// open opens one of the files of a clip that was looked up with err.
func (s *Shelf) open(ctx context.Context, c store.Clip, err error, key func(made) string) (blob.File, store.Clip, error) {
	if err != nil {
		return nil, c, err
	}
	m, err := madeFrom(c)
	if err != nil {
		return nil, c, err
	}
	f, err := s.files.Open(ctx, key(m))
	return f, c, err
}
