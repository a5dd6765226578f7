// Package shelf keeps the finished clips: what each one shows, whether that has
// changed since, what a download is called, and the job that renders them.
package shelf

import (
	"context"

	"tenoff/internal/blob"
	"tenoff/internal/film"
	"tenoff/internal/judged"
	"tenoff/internal/store"
)

// Kind is the kind of the jobs that Render does.
const Kind = "render clip"

// Cutting says by its key which file a film is cut from, and how the film's clock lies in
// it.
type Cutting func(context.Context, store.Film) (key string, cut film.Cut, err error)

// Shelf is the clips of all bullpens. Its methods may be used by several
// goroutines.
type Shelf struct {
	store   *store.Store
	judged  *judged.Bullpens
	files   *blob.Store
	cutting Cutting
}

// New returns the shelf whose clips are rows of s and files of b, and show what j says.
func New(s *store.Store, b *blob.Store, j *judged.Bullpens, c Cutting) *Shelf {
	return &Shelf{store: s, files: b, judged: j, cutting: c}
}

// Remove takes a clip off the shelf: its row and its files.
func (s *Shelf) Remove(ctx context.Context, id string) error {
	r, err := s.store.RemoveClip(ctx, id)
	if err != nil {
		return err
	}
	s.discard(ctx, r.Files)
	return nil
}

// discard removes those of the files that nothing names, and then forgets them.
// What fails here is done when the program starts again: a file that is still
// listed and not named is swept then.
func (s *Shelf) discard(ctx context.Context, files []store.File) {
	ctx = context.WithoutCancel(ctx)
	keys := make([]string, len(files))
	for i, f := range files {
		keys[i] = f.Key
	}
	loose, err := s.store.StillLoose(ctx, keys...)
	if err != nil {
		return
	}
	var gone []string
	for _, key := range loose {
		if s.files.Delete(ctx, key) == nil {
			gone = append(gone, key)
		}
	}
	_ = s.store.Forget(ctx, gone...)
}
