// Package intake brings films in: it receives the bytes, has the film read, and
// takes films away again with all that was made of them.
package intake

import (
	"context"
	"log/slog"
	"sync"
	"time"

	"tenoff/internal/blob"
	"tenoff/internal/film"
	"tenoff/internal/store"
	"tenoff/internal/throttle"
	"tenoff/internal/trace"
)

// The kinds of jobs that a film goes through. OpenFilm is the handler of the first,
// ReadFilm of the others: a long film has a line of its own, so that it holds up none
// of the short ones.
const (
	OpenKind = "open film"
	Kind     = "read film"
	LongKind = "read long film"
)

// IsKind reports whether jobs of a kind bring a film in.
func IsKind(kind string) bool { return kind == OpenKind || kind == Kind || kind == LongKind }

// Options are the limits of what comes in; zero values stand for the defaults.
type Options struct {
	MaxBytes int64 // the largest film; default 32 GiB
	Reserve  int64 // room that stays free on the disk, bytes; default 512 MiB
	Log      *slog.Logger
}

// Intake receives, reads and removes films. Its methods may be used by several
// goroutines.
type Intake struct {
	store   *store.Store
	blobs   *blob.Store
	options Options
	log     *slog.Logger
	free    func() (int64, error) // room on the disk, bytes
	now     func() time.Time
	lane    *throttle.Throttle

	// Seen looks for reps in what was measured of a film that is being read; nil: nobody
	// looks before it was read. heard is nil where nobody has listened, or without sound.
	// It is set before the first film is read.
	Seen func(ctx context.Context, f store.Film, motion *trace.Motion, heard *trace.Sound) error

	mu      sync.Mutex
	facts   map[string]film.Facts    // of films that were opened and are to be read, by ID
	growing map[string]*film.Growing // working copies that are being made, by the film's ID
}

// New returns an intake over a store and its files.
func New(s *store.Store, blobs *blob.Store, o Options) *Intake {
	if o.MaxBytes <= 0 {
		o.MaxBytes = 32 << 30
	}
	if o.Reserve <= 0 {
		o.Reserve = 512 << 20
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return &Intake{store: s, blobs: blobs, options: o, log: o.Log, free: func() (int64, error) { return blobs.Free() }, now: time.Now, lane: throttle.New(), facts: map[string]film.Facts{}, growing: map[string]*film.Growing{}}
}

// Throttle is the one along which films come in.
func (in *Intake) Throttle() *throttle.Throttle { return in.lane }
