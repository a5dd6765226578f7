package bullpen

import (
	"math"

	"tenoff/internal/evidence"
)

// Spread is how much the readings of one pitch differ from rep to rep about their line,
// what a display rounds left out.
type Spread struct {
	SD Speed // mph, >= 0
	DF int   // degrees of freedom: readings less one for each bullpen
}

// Spreads are those of full pitches; a pitch with fewer than two readings has none.
type Spreads map[Pitch]Spread

// SpreadsIn returns the spreads of the bullpen's readings from its own gun place. It goes
// by the bullpen alone, working values before it: so what an earlier bullpen tells of a
// later one hangs on nothing earlier still. Readings that are asked about are left out.
func SpreadsIn(pen Bullpen, reps []Rep) Spreads {
	pen.Usual, pen.Spreads, pen.Against = 0, nil, nil
	thrown := throws(pen, reps)
	ask(pen, thrown)
	sets, _ := setsOf(thrown)
	line := lineOf(pen, sets)
	out := Spreads{}
	for _, s := range sets {
		if s.group != (group{gun: pen.Gun}) || len(s.throws) < 2 {
			continue
		}
		var squares float64
		for _, t := range s.throws {
			off := float64(t.speed) - line.Level(s.number, float64(t.place)).Value
			squares += off*off - t.rounding
		}
		df := len(s.throws) - 1
		out[s.pitch] = Spread{Speed(math.Sqrt(max(0, squares) / float64(df))), df}
	}
	return out
}

// PooledSpreads returns the spreads of several bullpens together: the mean of the squares,
// weighted by degrees of freedom (NIST/SEMATECH e-Handbook, 7.3.1.1, for two).
func PooledSpreads(of []Spreads) Spreads {
	out := Spreads{}
	for _, one := range of {
		for p, s := range one {
			square, df := out[p].SD*out[p].SD*Speed(out[p].DF), out[p].DF
			square, df = square+s.SD*s.SD*Speed(s.DF), df+s.DF
			out[p] = Spread{Speed(math.Sqrt(float64(square) / float64(df))), df}
		}
	}
	return out
}

// SpreadOf returns the spread, mph, that her reps of the pitch are expected to have: her
// own of the bullpens before, drawn to the working value as far as they are few.
func (b Bullpen) SpreadOf(p Pitch) float64 {
	working := fastSpread
	if isSlower(p) {
		working = slowSpread
	}
	own := b.Spreads[p]
	if own.DF <= 0 || !(own.SD >= 0) {
		return working
	}
	df := float64(own.DF)
	square := (evidence.UsualWorth*working*working + df*float64(own.SD*own.SD)) / (evidence.UsualWorth + df)
	return math.Sqrt(square)
}
