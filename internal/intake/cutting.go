package intake

import (
	"context"

	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/store"
)

// Cutting says by its key which file a film is cut from, and how the film's clock lies in
// it.
func (in *Intake) Cutting(ctx context.Context, f store.Film) (key string, cut film.Cut, err error) {
	if f.State != bullpen.FilmReady {
		return "", film.Cut{}, bullpen.Errorf(bullpen.Unavailable, "“%s” has not been read yet; wait until it is.", f.Name)
	}
	c := f.Made.Cut
	switch _, err := in.blobs.Stat(ctx, c.Key); {
	case bullpen.CodeOf(err) == bullpen.NotFound:
		return "", film.Cut{}, bullpen.Errorf(bullpen.Invalid, "The original of “%s” is not kept any more, so nothing new can be cut from it; clips that were made stay.", f.Name)
	case bullpen.CodeOf(err) == bullpen.Unavailable:
		return "", film.Cut{}, err
	}
	return c.Key, film.Cut{
		Container: c.Container, Video: c.Video, Audio: c.Audio, FirstTick: c.FirstTick, Start: c.Start,
	}, nil
}
