package judged

import (
	"context"
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// Glance says what a bullpen tells at a glance, in the language of the instructor's pages.
func (b Bullpen) Glance() bullpen.Glance {
	g := bullpen.Glance{Headline: b.Headline(texts.English), Unit: b.unit(), StillRep: b.stillRep()}
	for _, n := range b.Sheet.Reps {
		if n.Doubt != "" {
			g.Asked++
		}
	}
	s, ok := b.foremost()
	if !ok {
		return g
	}
	for _, band := range s.Bands {
		if string(band.Unit) == string(g.Unit) {
			g.Band = &band
		}
	}
	g.PitchName, g.Drill, g.Gun = s.PitchName, s.Drill, s.Gun
	if s.MeanGap != nil {
		g.Mean = tenths(in(g.Unit, *s.MeanGap))
	}
	if c, ok := b.Body.Check(tempo.SubjectOf(s.Pitch, s.Drill)); ok && c.Own != nil {
		g.Own = &[2]float64{c.Own.Lo, c.Own.Hi}
	}
	for i, r := range b.Reps {
		if r.WarmUp || r.Pitch != s.Pitch || bullpen.DrillKey(r.Drill) != bullpen.DrillKey(s.Drill) {
			continue
		}
		if shot, ok := b.shot(i, g.Unit); ok && (shot.Gap == nil || b.gun(r) == s.Gun) {
			g.Shots = append(g.Shots, shot)
		}
	}
	g.Shots = g.Shots[max(0, len(g.Shots)-bullpen.MostShots):]
	return g
}

// shot is the rep at index i; ok is false where neither its gap nor its body is known.
func (b Bullpen) shot(i int, unit bullpen.Unit) (shot bullpen.Shot, ok bool) {
	n := b.Sheet.Reps[i]
	if n.Gap != nil {
		shot.Gap = tenths(in(unit, *n.Gap))
	}
	pace, paced := b.Body.RepAt(i, b.Reps[i].ID)
	if paced && pace.Legs != nil {
		shot.Body = tenths(pace.Legs.Percent)
	}
	fill := b.Fill(i)
	shot.Well, shot.Half = fill == bullpen.Full, fill == bullpen.Half
	return shot, shot.Gap != nil || shot.Body != nil
}

// stillRep is the rep whose release stands for the bullpen in a list: the first off-speed
// rep in the band that is on film, or else the first rep on film.
func (b Bullpen) stillRep() string {
	first := ""
	for i, r := range b.Reps {
		if r.WarmUp || r.FilmID == "" || r.Release < 0 {
			continue
		}
		if b.Sheet.Reps[i].Verdict == bullpen.InBand {
			return r.ID
		}
		if first == "" {
			first = r.ID
		}
	}
	return first
}

func in(unit bullpen.Unit, g bullpen.Gap) float64 {
	if unit == bullpen.KMH {
		return g.KMH
	}
	return float64(g.MPH)
}

func tenths(x float64) *float64 {
	x = math.Round(10*x) / 10
	return &x
}

// Glance judges one bullpen for a list that can't wait until its glance is stored.
func (s *Bullpens) Glance(ctx context.Context, bullpenID string) (bullpen.Glance, error) {
	b, err := s.Of(ctx, bullpenID)
	if err != nil {
		return bullpen.Glance{}, err
	}
	return b.Glance(), nil
}
