package judged

import (
	"context"

	"tenoff/internal/posture"
)

// Postures are what is measured of how she moves, by rep; one of which nothing is has none.
type Postures map[string]map[posture.Kind]posture.Measure

// Postures measures every rep of a bullpen.
func (s *Bullpens) Postures(ctx context.Context, b Bullpen) (Postures, error) {
	tracks, out := s.Tracks(ctx), Postures{}
	for i, r := range b.Reps {
		_, measured, err := b.measured(i, tracks)
		if err != nil {
			return nil, err
		}
		if len(measured) > 0 {
			out[r.ID] = measured
		}
	}
	return out, nil
}

// Tracks gives where her joints are round frames of films; it keeps those of a film in
// memory for as long as it is kept itself.
func (s *Bullpens) Tracks(ctx context.Context) Tracks {
	if s.films == nil {
		return noTracks
	}
	return s.films.Tracks(ctx)
}
