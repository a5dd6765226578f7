package intake

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/store"
)

// Cutting says where the file is that a film is cut from, by its path, and how the
// film's clock lies in it.
func (in *Intake) Cutting(f store.Film) (path string, cut film.Cut, err error) {
	if f.State != bullpen.FilmReady {
		return "", film.Cut{}, bullpen.Errorf(bullpen.Unavailable, "“%s” has not been read yet; wait until it is.", f.Name)
	}
	c := f.Made.Cut
	if _, err := in.blobs.Stat(c.Key); bullpen.CodeOf(err) == bullpen.NotFound {
		return "", film.Cut{}, bullpen.Errorf(bullpen.Invalid, "The original of “%s” is not kept any more, so nothing new can be cut from it; clips that were made stay.", f.Name)
	}
	path, err = in.blobs.Path(c.Key)
	return path, film.Cut{
		Container: c.Container, Video: c.Video, Audio: c.Audio, FirstTick: c.FirstTick, Start: c.Start,
	}, err
}
