package intake

import (
	"context"
	"io"

	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/store"
)

// OpenFilm is the handler of jobs of OpenKind: it looks at what a film says of itself,
// which takes seconds however long the film is, and queues the job that reads it. From
// then on a film that phones film as browsers play it can be stepped and marked; others
// as far as they are read, see Finished. One that can't be used is refused as ReadFilm
// does.
func (in *Intake) OpenFilm(ctx context.Context, job store.Job, _ func(done float64)) error {
	f, err := in.store.Film(ctx, job.Subject)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // removed meanwhile
	}
	if err != nil || f.State != bullpen.FilmReading {
		return err
	}
	return in.orRefuse(ctx, f, in.open(ctx, f))
}

func (in *Intake) open(ctx context.Context, f store.Film) error {
	path, done, err := in.blobs.Local(ctx, f.Made.Original)
	if err != nil {
		return err
	}
	defer done()
	facts, err := film.Probe(ctx, path, f.Name)
	if err != nil {
		return err
	}
	f.Width, f.Height, f.Codec, f.HDR, f.HasSound = facts.Width, facts.Height, facts.Codec, facts.HDR(), facts.HasSound
	f.Recorded = facts.Recorded
	f.Made = store.FilmFiles{Original: f.Made.Original}
	if facts.Keeps() {
		f.Clock, f.SlowKnown, f.Made.Opened = facts.Clock, facts.SlowKnown, in.plain(ctx, f, facts)
		f.Made.Cut = cutOf(f.Made.Original, facts.Cut)
	}
	kind := Kind
	if facts.Long() {
		kind = LongKind
	}
	in.know(f.ID, facts)
	err = in.store.FilmOpened(ctx, f, store.NewJob{Kind: kind})
	if bullpen.CodeOf(err) == bullpen.NotFound {
		in.known(f.ID)
		return nil // removed meanwhile
	}
	return err
}

// Listen listens to a film that was opened and is to be read, if its frames are known
// already: what was heard is in the facts, nil if they are not or it has no sound.
func (in *Intake) Listen(ctx context.Context, id string) (store.Film, film.Facts, error) {
	f, err := in.store.Film(ctx, id)
	if err != nil || f.State != bullpen.FilmReading || f.Clock.Frames() == 0 {
		return f, film.Facts{}, err
	}
	facts, ok := in.known(id)
	if !ok {
		return f, film.Facts{}, nil
	}
	if f.SlowKnown { // said in the seconds since
		facts.Clock.Slow = f.Clock.Slow
	}
	path, done, err := in.blobs.Local(ctx, f.Made.Original)
	defer done()
	if err == nil {
		facts.Heard, err = film.Hear(ctx, path, facts)
	}
	in.know(id, facts)
	return f, facts, err
}

// plain reports whether the original can be stepped as it is: browsers play it, and
// its own index has the very frames of its clock.
func (in *Intake) plain(ctx context.Context, f store.Film, facts film.Facts) bool {
	if !facts.Plays {
		return false
	}
	opened, file, err := in.opened(ctx, f)
	if err != nil {
		in.log.Info("a film can't be stepped before it was read", "film", f.ID, "err", err)
		return false
	}
	defer file.Close()
	return opened.Keeps(facts.Clock)
}

func (in *Intake) opened(ctx context.Context, f store.Film) (*film.Opened, io.Closer, error) {
	file, err := in.blobs.Open(ctx, f.Made.Original)
	if err != nil {
		return nil, nil, err
	}
	opened, err := film.Open(file, f.Bytes)
	if err != nil {
		file.Close()
		return nil, nil, err
	}
	return opened, file, nil
}

// Opened returns a film as it can be stepped before it was read, and what to close when
// done with it. It stays there after the film was read, for those who still look at it.
func (in *Intake) Opened(ctx context.Context, f store.Film) (*film.Opened, io.Closer, error) {
	if !f.Made.Opened {
		return nil, nil, bullpen.Errorf(bullpen.Unavailable, "“%s” can be shown only once it was read; wait until it is ready.", f.Name)
	}
	return in.opened(ctx, f)
}

// know keeps what a film said of itself until it is read.
func (in *Intake) know(id string, facts film.Facts) {
	in.mu.Lock()
	defer in.mu.Unlock()
	in.facts[id] = facts
}

// known returns what a film said of itself, once.
func (in *Intake) known(id string) (film.Facts, bool) {
	in.mu.Lock()
	defer in.mu.Unlock()
	facts, ok := in.facts[id]
	delete(in.facts, id)
	return facts, ok
}

// cutOf says how to cut from the file of a key.
func cutOf(key string, c film.Cut) store.Cut {
	return store.Cut{Key: key, Container: c.Container, Video: c.Video, Audio: c.Audio, FirstTick: c.FirstTick, Start: c.Start}
}
