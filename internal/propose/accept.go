package propose

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
func (s *Proposer) Accept(ctx context.Context, bullpenID, filmID string, repIDs []string) (got Accepted, err error) {
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
	followed, err := s.store.InstantSearch(ctx, bullpenID)
	if err != nil {
		return got, err
	}
	cadences := store.Cadences(followed, films)
	if found, err = s.check(ctx, bullpenID, films, reps, cadences, found); err != nil {
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
		if with, a, n := accept(r, films[f].Clock, cadences[r.FilmID], found[x]); n > 0 {
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

// check has what her joints show stand beside found instants, as Checked does.
func (s *Proposer) check(ctx context.Context, bullpenID string, films []store.Film, reps []bullpen.Rep, cadences map[string]bullpen.Cadence, found []store.Instants) ([]store.Instants, error) {
	if s.joints == nil {
		return found, nil
	}
	right, err := s.throwsRight(ctx, bullpenID)
	if err != nil {
		return nil, err
	}
	seen, err := s.Sights(ctx, bullpenID, films, reps, cadences, right)
	return checked(found, seen, films), err
}

func (s *Proposer) throwsRight(ctx context.Context, bullpenID string) (bool, error) {
	b, _, err := s.store.Bullpen(ctx, bullpenID)
	if err != nil {
		return false, err
	}
	her, err := s.store.Pitcher(ctx, b.PitcherID)
	return her.Hand != "left", err
}

// Acceptable returns how many of the found instants Accept would make marks of r.
func Acceptable(r bullpen.Rep, i store.Instants) int {
	n := 0
	for _, m := range openInstants(&r, i) {
		if *m.mark < 0 && m.found.Sure {
			n++
		}
	}
	return n
}

// openInstant is an instant's mark and what was found for it.
type openInstant struct {
	mark  *int
	found store.FoundInstant
}

// openInstants lists the instants that may be taken over. The release is marked already:
// without it nothing is found.
func openInstants(r *bullpen.Rep, i store.Instants) []openInstant {
	return []openInstant{{&r.Drive, i.Drive}, {&r.Plant, i.Plant}, {&r.Top, i.Top}}
}

func accept(r bullpen.Rep, c bullpen.Clock, k bullpen.Cadence, i store.Instants) (bullpen.Rep, store.Accepted, int) {
	a := store.NoneAccepted()
	into := []*int{&a.Drive, &a.Plant, &a.Top}
	n := 0
	for at, m := range openInstants(&r, i) {
		if *m.mark < 0 && m.found.Sure {
			*m.mark = k.Frame(c, m.found.Seconds)
			*into[at] = *m.mark
			n++
		}
	}
	if r.OutOfOrder() != "" {
		return r, a, 0
	}
	return r, a, n
}

// Save stores a rep that was changed; was is how it is stored. A mark on an instant that
// was surely found accepts it, or moves it when it lies elsewhere; a moved one counts
// in place of what was found, however near. On fastballs a mark is a mark: the others
// are found from it. A change that undo takes back counts as it did at the version as of
// the rep, whatever was found since; 0 for any other.
func (s *Proposer) Save(ctx context.Context, was, r bullpen.Rep, as int64) (bullpen.Rep, int64, error) {
	if as > 0 {
		return s.store.SaveRepAs(ctx, r, as)
	}
	a, err := s.placedOn(ctx, was, r)
	if err != nil {
		return r, 0, err
	}
	if a == store.NoneAccepted() {
		return s.store.SaveRep(ctx, r)
	}
	revision, err := s.store.AcceptInstants(ctx, []bullpen.Rep{r}, map[string]store.Accepted{r.ID: a})
	if err != nil {
		return r, 0, err
	}
	r, err = s.store.Rep(ctx, r.ID)
	return r, revision, err
}

// placedOn returns where the instants were found that r has marks on and was has none.
func (s *Proposer) placedOn(ctx context.Context, was, r bullpen.Rep) (store.Accepted, error) {
	a := store.NoneAccepted()
	placed := func(was, now int) bool { return was < 0 && now >= 0 }
	if !placed(was.Drive, r.Drive) && !placed(was.Plant, r.Plant) && !placed(was.Top, r.Top) {
		return a, nil
	}
	p, err := s.pen(ctx, was.BullpenID)
	if err != nil || p.isFast(r) {
		return a, err
	}
	all, err := s.store.Instants(ctx, was.BullpenID)
	if err != nil {
		return a, err
	}
	f := slices.IndexFunc(p.films, func(f store.Film) bool { return f.ID == r.FilmID })
	x := slices.IndexFunc(all, func(i store.Instants) bool { return i.RepID == r.ID })
	if f < 0 || x < 0 || !all[x].Holds(r, p.films[f].Film) {
		return a, nil
	}
	followed, err := s.store.InstantSearch(ctx, was.BullpenID)
	if err != nil {
		return a, err
	}
	cadences := store.Cadences(followed, p.films)
	if all, err = s.check(ctx, was.BullpenID, p.films, []bullpen.Rep{was}, cadences, all); err != nil {
		return a, err
	}
	i, c, k := all[x], p.films[f].Clock, cadences[r.FilmID]
	for _, m := range []struct {
		was, now int
		found    store.FoundInstant
		into     *int
	}{{was.Drive, r.Drive, i.Drive, &a.Drive}, {was.Plant, r.Plant, i.Plant, &a.Plant}, {was.Top, r.Top, i.Top, &a.Top}} {
		if placed(m.was, m.now) && m.found.Sure {
			*m.into = k.Frame(c, m.found.Seconds)
		}
	}
	return a, nil
}
