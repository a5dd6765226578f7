// Package shelf keeps the finished clips: what each one shows, whether that has
// changed since, what a download is called, and the job that renders them.
package shelf

import (
	"context"

	"tenoff/internal/blob"
	"tenoff/internal/film"
	"tenoff/internal/store"
)

// Kind is the kind of the jobs that Render does.
const Kind = "render clip"

// Cutting says where the file is that a film is cut from, by its absolute path,
// and how the film's clock lies in it.
type Cutting func(store.Film) (path string, cut film.Cut, err error)

// Shelf is the clips of all bullpens. Its methods may be used by several
// goroutines.
type Shelf struct {
	store   *store.Store
	files   *blob.Store
	cutting Cutting
}

// New returns the shelf whose clips are rows of s and files of b.
func New(s *store.Store, b *blob.Store, c Cutting) *Shelf {
	return &Shelf{store: s, files: b, cutting: c}
}

// Remove takes a clip off the shelf: its row and its files.
func (s *Shelf) Remove(ctx context.Context, id string) error {
	if _, err := s.store.RemoveClip(ctx, id); err != nil {
		return err
	}
	_, err := s.files.DeleteTree(folder(id))
	return err
}

// folder is where a clip's files lie.
func folder(id string) string { return "clips/" + id }
