package propose

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// markedFilm is a film beside another one, with marks that may count for that one too.
type markedFilm struct {
	film store.Film
	seen trace.Film
}

// fewMarked is how many films of one place have marks until another one's add nothing.
const fewMarked = 3

// marked are the releases marked on film f, file seconds.
func marked(f store.Film, reps []bullpen.Rep) []float64 {
	var out []float64
	for _, r := range reps {
		if r.FilmID == f.ID && r.Release >= 0 && r.Release < f.Clock.Frames() {
			out = append(out, f.Clock.FileSeconds(r.Release))
		}
	}
	return out
}

// fromSamePlace reports whether two films may show the pitcher from one place: as far as
// anybody said, and by how the phone was held.
func fromSamePlace(a, b store.Film) bool {
	return a.View == b.View && (a.Height > a.Width) == (b.Height > b.Width)
}

// markedBeside lists those of a bullpen's films that are from f's place and have marks, the
// nearest in order first.
func markedBeside(f store.Film, films []store.Film, reps []bullpen.Rep) []store.Film {
	films = slices.DeleteFunc(slices.Clone(films), func(o store.Film) bool {
		return o.ID == f.ID || o.State != bullpen.FilmReady || !fromSamePlace(f, o) || len(marked(o, reps)) == 0
	})
	far := func(o store.Film) int { return max(o.Position-f.Position, f.Position-o.Position) }
	slices.SortStableFunc(films, func(a, b store.Film) int { return far(a) - far(b) })
	return films
}

// foundBy names films and all of them that a search takes in which finds another film's reps
// by their marks. Marks beyond those that it looks at are left out: a mark that tells nothing
// more is no reason to look again at all the others.
func foundBy(films []store.Film, reps []bullpen.Rep) []string {
	names := make([]string, len(films))
	for i, o := range films {
		marks := marked(o, reps)
		marks = marks[:min(len(marks), trace.MostBeside)]
		sum := sha256.Sum256(fmt.Append(nil, o.ID, o.Made.Motion, o.Clock.SlowFactor(), o.Box, marks))
		names[i] = hex.EncodeToString(sum[:8])
	}
	return names
}

// findsMore reports whether a search of a film would see other marks than the last one did,
// which saw was. Where that saw as many films as tell anything, and they are as they were,
// more add nothing.
func findsMore(was string, beside []string) bool {
	saw := strings.Fields(was)
	gone := slices.ContainsFunc(saw, func(name string) bool { return !slices.Contains(beside, name) })
	return gone || len(saw) < min(len(beside), fewMarked)
}

// markedFilms reads what films beside another one show. Traces that can't be read, or are of
// another version, are passed over: their film is looked at anew by itself.
func (s *Proposer) markedFilms(ctx context.Context, films []store.Film, reps []bullpen.Rep) []markedFilm {
	var out []markedFilm
	for _, o := range films {
		motion := new(trace.Motion)
		if err := s.blobs.Load(ctx, o.Made.Motion, motion); err != nil || motion.Slow != o.Clock.SlowFactor() {
			continue
		}
		out = append(out, markedFilm{o, trace.Film{Motion: motion.Within(o.Box), Marked: marked(o, reps)}})
	}
	return out
}

// besidePayload is the payload of a look at a film that was changed by nobody: marks on
// another one lead to it, or it was just read. Unless it has marks itself, it tells nothing
// of others.
const besidePayload = `{"beside":true}`

// SearchBeside has a bullpen's films that have no marks of their own looked at anew, where
// the marks that they were found by are not what they were: another film has others now, or
// none any more, or is gone, or one of the two shows her from another place. The others
// would be found as they are and are left alone, or each of a bullpen's hundred films of one
// pitch would be looked at again for each of the hundred; so is the film butID, for which
// this is done. Each is looked at by a job of its own, which sees it as it is by then, and
// never runs beside another one on that film.
func (s *Proposer) SearchBeside(ctx context.Context, bullpenID, butID string) error {
	films, err := s.store.Films(ctx, bullpenID)
	if err != nil {
		return err
	}
	reps, err := s.store.Reps(ctx, bullpenID)
	if err != nil {
		return err
	}
	jobs, err := s.store.Jobs(ctx, bullpenID)
	if err != nil {
		return err
	}
	for _, o := range films {
		if o.ID == butID || o.State != bullpen.FilmReady || len(marked(o, reps)) > 0 {
			continue
		}
		looked := func(state store.JobState) bool {
			return slices.ContainsFunc(jobs, func(j store.Job) bool { return j.Kind == RepsKind && j.Subject == o.ID && j.State == state })
		}
		if looked(store.JobQueued) {
			continue // that one will see the marks as they are
		}
		// One that runs may have seen them as they were before.
		if !looked(store.JobRunning) && !findsMore(o.FoundBy, foundBy(markedBeside(o, films, reps), reps)) {
			continue
		}
		if _, err := s.store.AddJob(ctx, store.NewJob{Kind: RepsKind, Subject: o.ID, BullpenID: o.BullpenID, Payload: besidePayload}); err != nil {
			return err
		}
	}
	return nil
}
