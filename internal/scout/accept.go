package scout

import (
	"context"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// Accepted is what became marks.
type Accepted struct {
	Reps     int
	Marks    int
	Revision int64 // of the bullpen
}

// Accept makes found instants of a bullpen's reps marks: those that were surely
// found where no mark is. repIDs names the reps, none for all; filmID keeps to one
// film, "" for all. A mark that is there stays as it is, and a rep whose instants
// would come out of order gets none.
func (s *Scout) Accept(ctx context.Context, bullpenID, filmID string, repIDs []string) (got Accepted, err error) {
	_, got.Revision, err = s.store.Bullpen(ctx, bullpenID)
	if err != nil {
		return got, err
	}
	films, err := s.store.Films(ctx, bullpenID)
	if err != nil {
		return got, err
	}
	reps, err := s.store.Reps(ctx, bullpenID)
	if err != nil {
		return got, err
	}
	found, err := s.store.Instants(ctx, bullpenID)
	if err != nil {
		return got, err
	}
	var changed []bullpen.Rep
	taken := map[string]store.Accepted{}
	for _, r := range reps {
		if len(repIDs) > 0 && !slices.Contains(repIDs, r.ID) || filmID != "" && r.FilmID != filmID {
			continue
		}
		f := slices.IndexFunc(films, func(f store.Film) bool { return f.ID == r.FilmID })
		x := slices.IndexFunc(found, func(i store.Instants) bool { return i.RepID == r.ID })
		if f < 0 || x < 0 || !found[x].Holds(r, films[f].Film) {
			continue
		}
		if with, a, n := accept(r, films[f].Clock, found[x]); n > 0 {
			changed, taken[r.ID] = append(changed, with), a
			got.Marks += n
		}
	}
	if got.Reps = len(changed); got.Reps == 0 {
		return got, nil
	}
	got.Revision, err = s.store.AcceptInstants(ctx, changed, taken)
	return got, err
}

// Acceptable returns how many of the found instants Accept would make marks of r.
func Acceptable(r bullpen.Rep, i store.Instants) int {
	n := 0
	for _, m := range open(&r, i) {
		if *m.mark < 0 && m.found.Sure {
			n++
		}
	}
	return n
}

// slot is an instant's mark and what was found for it.
type slot struct {
	mark  *int
	found store.FoundInstant
}

// open lists the instants that may be taken over. The release is marked already:
// without it nothing is found.
func open(r *bullpen.Rep, i store.Instants) []slot {
	return []slot{{&r.Drive, i.Drive}, {&r.Plant, i.Plant}, {&r.Top, i.Top}}
}

func accept(r bullpen.Rep, c bullpen.Clock, i store.Instants) (bullpen.Rep, store.Accepted, int) {
	a := store.Accepted{Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked}
	into := []*int{&a.Drive, &a.Plant, &a.Top}
	n := 0
	for k, m := range open(&r, i) {
		if *m.mark < 0 && m.found.Sure {
			*m.mark = FrameAt(c, m.found.Seconds)
			*into[k] = *m.mark
			n++
		}
	}
	if r.OutOfOrder() != "" {
		return r, a, 0
	}
	return r, a, n
}

// FrameAt returns the frame of the clock that is nearest to a real second from its
// first frame.
func FrameAt(c bullpen.Clock, real float64) int { return nearest(c, real*slowOf(c)) }
