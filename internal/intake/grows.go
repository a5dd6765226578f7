package intake

import (
	"context"
	"sync"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/store"
)

// lingers is how long after a film was read the part of its working copy that was there
// before can still be had: whoever looks at it needs a moment to change over.
const lingers = 30 * time.Second

// Finished returns how many of a film's frames can be shown although it is still being
// read and its original can't be stepped: those from the first on that its working copy
// has so far. Only the program that reads it knows.
func (in *Intake) Finished(f store.Film) int {
	if f.State != bullpen.FilmReading {
		return 0
	}
	if g := in.grown(f.ID); g != nil {
		return g.Frames()
	}
	return 0
}

// Steppable reports whether frames of a film can be shown and marked.
func (in *Intake) Steppable(f store.Film) bool { return f.Steppable() || in.Finished(f) > 0 }

// Stretch returns the working copy of a film that is being read as it was when it had so
// many frames, see Finished. It stays there for a moment after the film was read.
func (in *Intake) Stretch(f store.Film, frames int) (*film.Opened, error) {
	if g := in.grown(f.ID); g != nil {
		return g.Opened(frames)
	}
	return nil, bullpen.Errorf(bullpen.NotFound, "“%s” has no part that was read so far; load the page again.", f.Name)
}

func (in *Intake) grown(id string) *film.Growing {
	in.mu.Lock()
	defer in.mu.Unlock()
	return in.growing[id]
}

// grows follows one film's working copy as it grows.
type grows struct {
	in    *Intake
	film  store.Film
	say   func() // that it can be stepped, once
	busy  sync.WaitGroup
	shown *film.Growing
}

func (in *Intake) grows(ctx context.Context, f store.Film) *grows {
	g := &grows{in: in, film: f}
	g.say = sync.OnceFunc(func() {
		g.busy.Go(func() {
			if err := in.store.FilmGrew(ctx, f.ID); err != nil && ctx.Err() == nil {
				in.log.WarnContext(ctx, "pages are not told that a film can be stepped", "film", f.ID, "err", err)
			}
		})
	})
	return g
}

// further is told of every stretch that was added.
func (g *grows) further(copy *film.Growing) {
	g.shown = copy
	g.in.mu.Lock()
	g.in.growing[g.film.ID] = copy
	g.in.mu.Unlock()
	if copy.Frames() > 0 {
		g.say()
	}
}

// end is called when the film was read, or could not be.
func (g *grows) end() {
	g.busy.Wait()
	shown := g.shown
	if shown == nil {
		return
	}
	time.AfterFunc(lingers, func() {
		g.in.mu.Lock()
		if g.in.growing[g.film.ID] == shown {
			delete(g.in.growing, g.film.ID)
		}
		g.in.mu.Unlock()
		_ = shown.Close() // it was only read from
	})
}
