package judged

import (
	"context"

	"tenoff/internal/posture"
)

// Lined returns a delivery with the lines of her trunk and hips at its instants, where her
// joints are seen there.
func (s *Bullpens) Lined(ctx context.Context, d Delivery) (Delivery, error) {
	track, err := s.Tracks(ctx)(d.Film, d.Rep.Release)
	if err != nil || len(track) < 2 {
		return d, err
	}
	body, err := posture.Of(track, track.Rate())
	if err != nil { // not seen well enough
		return d, nil
	}
	release := d.Film.Clock.RealSeconds(0, d.Rep.Release)
	for i := range Instants {
		if l, ok := body.LinesAt(release-d.Before[i], release); ok {
			d.Lines[i] = &l
		}
	}
	return d, nil
}
