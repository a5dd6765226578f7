package judged

import (
	"context"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/propose"
	"tenoff/internal/store"
)

// Facts is what is known of a bullpen: all that judging it hangs on.
type Facts struct {
	Pitcher bullpen.Pitcher
	Pen     bullpen.Bullpen // with what her bullpens before say of her, where there are any
	Films   []store.Film
	Reps    []bullpen.Rep
	Heard   propose.FilmSpeeds // what the films say of the ball's speed

	Found    map[string]store.Instants // by rep: found on its film and still its own, apart from its marks
	Followed []store.InstantSearch     // what the last search for instants said, by film
	Accepted map[string]store.Accepted // by rep: marks that were taken over from what was found
	Eye      Eye                       // how closely the instructor marks
	// Seen is what her joints show of the instants, by rep. Found is checked with it.
	Seen map[string]posture.Sights
}

// Of reads a bullpen and judges it.
func (s *Bullpens) Of(ctx context.Context, bullpenID string) (Bullpen, error) {
	f, err := s.facts(ctx, bullpenID)
	if err != nil {
		return Bullpen{}, err
	}
	return Of(f), nil
}

// Numbers judges a bullpen's numbers: what Of says of them, and nothing of the body.
func (s *Bullpens) Numbers(ctx context.Context, bullpenID string) (Bullpen, error) {
	f, err := s.numbers(ctx, bullpenID)
	if err != nil {
		return Bullpen{}, err
	}
	return numbersOf(f), nil
}

// WithBody is a bullpen of which Numbers were judged, with the body judged too.
func (s *Bullpens) WithBody(ctx context.Context, b Bullpen) (Bullpen, error) {
	f, err := s.timings(ctx, b.Facts)
	if err != nil {
		return b, err
	}
	b.Facts = f
	return b.withBody(), nil
}

// numbers reads what a bullpen's numbers hang on.
func (s *Bullpens) numbers(ctx context.Context, bullpenID string) (f Facts, err error) {
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
	if s.films != nil && len(f.Films) > 0 {
		f.Heard = s.films.FilmSpeeds(ctx, f.Pitcher, f.Films, f.Reps)
		f.Pen.Against = against(f.Heard)
	}
	return f, nil
}

// facts reads what is known of a bullpen.
func (s *Bullpens) facts(ctx context.Context, bullpenID string) (f Facts, err error) {
	if f, err = s.numbers(ctx, bullpenID); err != nil {
		return f, err
	}
	return s.timings(ctx, f)
}

// timings reads, beside what the numbers hang on, what the body does.
func (s *Bullpens) timings(ctx context.Context, f Facts) (_ Facts, err error) {
	bullpenID := f.Pen.ID
	if f.Eye, err = eyeOn(ctx, s.store, bullpenID); err != nil {
		return f, err
	}
	if f.Followed, err = s.store.InstantSearch(ctx, bullpenID); err != nil {
		return f, err
	}
	if s.films != nil && len(f.Films) > 0 {
		f.Seen, err = s.films.Sights(ctx, bullpenID, f.Films, f.Reps, store.Cadences(f.Followed, f.Films), f.Pitcher.Hand != "left")
		if err != nil {
			return f, err
		}
	}
	found, err := s.store.Instants(ctx, bullpenID)
	if err != nil || len(found) == 0 {
		return f, err
	}
	f.Found = standing(f, found)
	f.Accepted, err = s.store.Accepted(ctx, bullpenID)
	return f, err
}

// Pen reads a bullpen with what her bullpens before say of her.
func (s *Bullpens) Pen(ctx context.Context, bullpenID string) (bullpen.Bullpen, error) {
	pen, _, err := s.store.Bullpen(ctx, bullpenID)
	if err != nil {
		return pen, err
	}
	return pen, s.lookBack(ctx, &pen)
}

// standing returns, by rep, those of the found instants that still belong to it, checked
// with what her joints show.
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
			if seen, ok := f.Seen[r.ID]; ok {
				i = propose.Checked(i, seen, films[r.FilmID].Clock)
			}
			out[r.ID] = i
		}
	}
	return out
}
