package deliverysheet

import (
	"bytes"
	"context"
	"image/jpeg"
	"sync"
	"time"

	"tenoff/internal/blob"
	"tenoff/internal/film"
	"tenoff/internal/judged"
)

const (
	most     = 32               // sheets that are kept
	lasts    = 10 * time.Minute // so long is one kept
	patience = time.Minute      // that making one may take
)

// Sheets makes delivery sheets. A sheet is made from the films when it is asked for, in
// about a second, and kept for some minutes in memory only: a film that is deleted leaves
// nothing of it on the disk. It may be used from several goroutines.
type Sheets struct {
	files *blob.Store
	turn  chan struct{} // one is made at a time

	mu   sync.Mutex
	kept map[string][]byte // by digest
}

// New returns what makes sheets of the films in files.
func New(files *blob.Store) *Sheets {
	return &Sheets{files: files, turn: make(chan struct{}, 1), kept: map[string][]byte{}}
}

// Picture returns the sheet as a JPEG without metadata.
func (s *Sheets) Picture(ctx context.Context, sheet Sheet) ([]byte, error) {
	digest := sheet.Digest()
	if picture, ok := s.known(digest); ok {
		return picture, nil
	}
	select {
	case s.turn <- struct{}{}:
		defer func() { <-s.turn }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	if picture, ok := s.known(digest); ok { // somebody else asked for it
		return picture, nil
	}
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	picture, err := s.make(ctx, sheet)
	if err == nil {
		s.keep(digest, picture)
	}
	return picture, err
}

func (s *Sheets) make(ctx context.Context, sheet Sheet) ([]byte, error) {
	var rows [2]stills
	for i, r := range sheet.Rows {
		var err error
		if rows[i], err = s.stills(ctx, r.Delivery); err != nil {
			return nil, err
		}
	}
	picture, err := compose(sheet, rows)
	if err != nil {
		return nil, err
	}
	return encode(picture)
}

func (s *Sheets) stills(ctx context.Context, d judged.Delivery) (out stills, err error) {
	path, done, err := s.files.Local(ctx, d.Film.Made.Working)
	if err != nil {
		return out, err
	}
	defer done()
	for i, frame := range d.Frames {
		data, err := film.Still(ctx, path, d.Film.Clock, frame)
		if err != nil {
			return out, err
		}
		if out[i], err = jpeg.Decode(bytes.NewReader(data)); err != nil {
			return out, err
		}
	}
	return out, nil
}

func (s *Sheets) known(digest string) ([]byte, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	picture, ok := s.kept[digest]
	return picture, ok
}

func (s *Sheets) keep(digest string, picture []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.kept) >= most {
		clear(s.kept)
	}
	s.kept[digest] = picture
	time.AfterFunc(lasts, func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		delete(s.kept, digest)
	})
}
