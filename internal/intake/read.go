package intake

import (
	"context"
	"io"
	"path/filepath"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
	"tenoff/internal/film"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// ReadFilm is the handler of jobs of Kind and LongKind: it decodes a film once and stores what that made. A film that can't be used becomes a refused row with
// its sentence, and its file goes. That is for good, so a film is refused only once
// the disk has shown that it gives all of the file.
func (in *Intake) ReadFilm(ctx context.Context, job store.Job, progress func(done float64)) error {
	f, err := in.store.Film(ctx, job.Subject)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // removed meanwhile
	}
	if err != nil || f.State != bullpen.FilmReading {
		return err
	}
	return in.orRefuse(ctx, f, in.read(ctx, f, progress))
}

// orRefuse returns err, or makes the film a refused row if that says that it can't be
// used.
func (in *Intake) orRefuse(ctx context.Context, f store.Film, err error) error {
	if bullpen.CodeOf(err) != bullpen.Refused {
		return err
	}
	if e := in.readable(ctx, f); e != nil {
		return e
	}
	in.log.InfoContext(ctx, "film refused", "film", f.ID, "err", err)
	loose, err := in.store.RefuseFilm(context.WithoutCancel(ctx), f.ID, bullpen.MessageOf(err))
	in.discard(ctx, loose)
	return err
}

// readable makes sure that the disk gives the original from beginning to end: of a
// file with unreadable places ffmpeg says no more than that it is damaged.
func (in *Intake) readable(ctx context.Context, f store.Film) error {
	file, err := in.blobs.Open(ctx, f.Made.Original)
	if err != nil {
		return err
	}
	defer file.Close()
	n, err := io.Copy(io.Discard, file)
	if err == nil && n == f.Bytes {
		return nil
	}
	e := bullpen.Errorf(bullpen.Unavailable, "“%s” could not be read: the disk does not give the whole file. Check the disk, then try again.", f.Name)
	e.Err = err
	return e
}

func (in *Intake) read(ctx context.Context, f store.Film, progress func(float64)) error {
	path, done, err := in.blobs.Local(ctx, f.Made.Original)
	if err != nil {
		return err
	}
	defer done()
	facts, known := in.known(f.ID)
	if !known { // the program was started anew since
		if facts, err = film.Probe(ctx, path, f.Name); err != nil {
			return err
		}
	}
	if f.SlowKnown && f.Clock.Slow != facts.Clock.Slow {
		facts.Heard = nil // at another speed
	}
	if f.SlowKnown {
		facts.Clock.Slow, facts.SlowKnown = f.Clock.Slow, true
	}
	desk, err := in.blobs.TempDir()
	if err != nil {
		return err
	}
	defer disk.RemoveAll(desk)
	along := film.Along{Progress: progress}
	sees := &sees{look: func(m *trace.Motion) error { return in.Seen(ctx, f, m, facts.Heard) }, say: func(err error) {
		in.log.WarnContext(ctx, "nothing is proposed in a film that is being read", "film", f.ID, "err", err)
	}}
	if in.Seen != nil && f.Clock.Frames() > 0 {
		along.Seen = sees.further
	}
	if !f.Made.Opened && f.Clock.Frames() > 0 {
		grows := in.grows(ctx, f)
		defer grows.end()
		along.Grown = grows.further
	}
	made, err := film.ReadAlong(ctx, path, facts, desk, along)
	sees.end() // once the film is kept, all of it is searched
	if err != nil {
		return err
	}
	return in.keep(ctx, f, facts, made, desk)
}

// keep moves what was made under the film's keys and stores the film as read. Every
// reading has a folder of its own, because what lies under a key never changes.
func (in *Intake) keep(ctx context.Context, f store.Film, facts film.Facts, made film.Products, desk string) error {
	prefix := "films/" + f.ID + "/" + store.NewFilmID() + "/"
	names := made.Files()
	files := make([]store.File, len(names))
	keys := make([]string, len(names))
	for i, name := range names {
		keys[i] = prefix + name
		files[i].Key = keys[i]
	}
	if err := in.store.Expect(ctx, keys...); err != nil {
		return err
	}
	kept := false
	defer func() {
		if !kept {
			in.discard(ctx, files)
		}
	}()
	for i, name := range names {
		path := filepath.Join(desk, name)
		var err error
		if files[i].Bytes, files[i].Sum, err = in.digest(ctx, path); err != nil {
			return err
		}
		if _, err := in.blobs.Adopt(ctx, keys[i], path, files[i].Sum); err != nil {
			return err
		}
	}
	under := func(name string) string {
		if name == "" {
			return ""
		}
		return prefix + name
	}
	f.Width, f.Height, f.Codec, f.HDR, f.HasSound = facts.Width, facts.Height, facts.Codec, facts.HDR(), facts.HasSound
	f.Recorded, f.Clock, f.SlowKnown = facts.Recorded, made.Clock, facts.SlowKnown
	f.Made = store.FilmFiles{
		Original: f.Made.Original, Opened: f.Made.Opened, Working: under(made.Working), Strip: under(made.Strip),
		Motion: under(made.Motion), Sound: under(made.Sound), Transfer: string(facts.Transfer), Lost: made.Lost,
		Cut: cutOf(f.Made.Original, made.Cut),
	}
	if made.Cut.File != "" {
		f.Made.Cut.Key = under(made.Cut.File)
	}
	loose, err := in.store.FilmRead(ctx, f, files)
	if err != nil {
		return err
	}
	kept = true
	in.discard(ctx, loose)
	return nil
}
