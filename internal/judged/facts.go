package judged

import (
	"context"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// Facts is what is known of a bullpen: all that judging it hangs on.
type Facts struct {
	Pitcher bullpen.Pitcher
	Pen     bullpen.Bullpen // with what she usually throws, where that is known
	Films   []store.Film
	Reps    []bullpen.Rep

	Found    map[string]store.Instants // by rep: found on its film and still its own, apart from its marks
	Followed []store.Followed          // what the last search for instants said, by film
	Accepted map[string]store.Accepted // by rep: marks that were taken over from what was found
	Eye      Eye                       // how closely the instructor marks
}

// Of reads a bullpen and judges it.
func (s *Bullpens) Of(ctx context.Context, bullpenID string) (Bullpen, error) {
	f, err := s.facts(ctx, bullpenID)
	if err != nil {
		return Bullpen{}, err
	}
	return Of(f), nil
}

// Facts reads what is known of a bullpen.
func (s *Bullpens) facts(ctx context.Context, bullpenID string) (f Facts, err error) {
	if f.Pen, err = s.Pen(ctx, bullpenID); err != nil {
		return f, err
	}
	if f.Pitcher, err = s.store.Pitcher(ctx, f.Pen.PitcherID); err != nil {
		return f, err
	}
	if f.Films, err = s.store.Films(ctx, bullpenID); err != nil {
		return f, err
	}
	if f.Reps, err = s.store.Reps(ctx, bullpenID); err != nil {
		return f, err
	}
	if f.Eye, err = EyeOf(ctx, s.store); err != nil {
		return f, err
	}
	if f.Followed, err = s.store.Followed(ctx, bullpenID); err != nil {
		return f, err
	}
	found, err := s.store.Instants(ctx, bullpenID)
	if err != nil || len(found) == 0 {
		return f, err
	}
	f.Found = standing(f, found)
	f.Accepted, err = s.store.Accepted(ctx, bullpenID)
	return f, err
}

// Pen reads a bullpen with what she usually throws, which readings are asked about by.
func (s *Bullpens) Pen(ctx context.Context, bullpenID string) (bullpen.Bullpen, error) {
	pen, _, err := s.store.Bullpen(ctx, bullpenID)
	if err != nil {
		return pen, err
	}
	pen.Usual, err = s.store.Usual(ctx, pen)
	return pen, err
}

// standing returns, by rep, those of the found instants that still belong to it.
func standing(f Facts, found []store.Instants) map[string]store.Instants {
	films := make(map[string]bullpen.Film, len(f.Films))
	for _, x := range f.Films {
		films[x.ID] = x.Film
	}
	by := make(map[string]store.Instants, len(found))
	for _, i := range found {
		by[i.RepID] = i
	}
	out := map[string]store.Instants{}
	for _, r := range f.Reps {
		if i, ok := by[r.ID]; ok && i.Holds(r, films[r.FilmID]) {
			out[r.ID] = i
		}
	}
	return out
}
