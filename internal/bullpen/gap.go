package bullpen

import (
	"fmt"
	"math"
)

// The speeds that can be a ball's at all, mph; beyond them nothing is computed.
// What a coach may have mistyped inside them is only asked about, by Questions.
const slowest, fastest Speed = 0.1, 1000

// possible says whether s can be a ball's speed.
func (s Speed) possible() bool { return s >= slowest && s <= fastest }

// GapUnder returns how far the reading lies under the baseline, both of which must
// be speeds a ball can have (0.1..1000 mph). A zero way leaves the milliseconds out.
func GapUnder(baseline, reading Speed, way Way) Gap {
	g := Gap{
		MPH:     baseline - reading,
		KMH:     (baseline - reading).In(KMH),
		Percent: 100 * float64(reading/baseline),
	}
	if way.Metres > 0 {
		later := way.Later(baseline, reading)
		g.Millis = &later
	}
	return g
}

// DefaultGunTolerance is the half-width of a hand-held gun's tolerance that makers
// state: +-1 mph.
const DefaultGunTolerance Speed = 1

// Uncertainty returns the standard uncertainty of one reading by itself, mph:
//
//	u^2 = step^2/12 + tolerance^2/3
//
// the display's rounding (a rectangle of one step's width) and the gun's tolerance
// (a rectangle of that half-width), JCGM 100:2008, 4.3.7 and F.2.2.1.
//
// How much of the tolerance one gun carries from reading to reading, where it
// would cancel in a gap, no maker says. It is taken as new in every reading, which
// never states too little (JCGM 100:2008, 5.2.2: shared errors only lower the
// uncertainty of a difference). So, for one reading under a baseline,
//
//	u^2(gap) = u^2(reading) + u^2(baseline)
//
// with u(baseline) from the baseline's policy: 0 for a typed number, u(reading) for
// the hardest and the last, and for a mean of n readings sqrt(max(s^2, u^2)/n): the
// spread s that they show, or what the instrument makes by itself where that is
// more than they show.
func Uncertainty(r Reading, tolerance Speed) Speed {
	step := float64(SpeedOf(r.Step, r.Unit))
	return Speed(math.Hypot(step/math.Sqrt(12), float64(tolerance)/math.Sqrt(3)))
}

// ofMean returns the standard uncertainty of a mean of n readings with spread s,
// whose own uncertainties have the mean square own.
func ofMean(n int, s, own float64) Speed {
	return Speed(math.Sqrt(max(s*s, own) / float64(n)))
}

// edgeOf returns the verdict beyond the nearest edge that the gap lies within u of,
// when its own is v; Pending where no edge is so near.
func (e Edges) edgeOf(gap, u Speed, v Verdict) Verdict {
	soft := Soft
	if e.Hi == e.Limit { // no gap is soft
		soft = TooSoft
	}
	beyond, least := Pending, exact(float64(u))
	for _, edge := range [...]struct {
		at           Speed
		firm, softer Verdict
	}{{e.Lo, TooFirm, InBand}, {e.Hi, InBand, soft}, {e.Limit, Soft, TooSoft}} {
		far := exact(math.Abs(float64(gap - edge.at)))
		if far > least || far == least && beyond != Pending {
			continue
		}
		least, beyond = far, edge.firm
		if v == edge.firm {
			beyond = edge.softer
		}
	}
	return beyond
}

// edgeWords says in one sentence that the gap can't be told from the edge to the verdict
// beyond, in the unit.
func (e Edges) edgeWords(v, beyond Verdict, unit Unit) string {
	at := func(edge Speed) string { return fmt.Sprintf("%s %s", Tenths(edge.In(unit)), unit) }
	var where string
	switch {
	case beyond == Pending:
		return ""
	case v == TooFirm || beyond == TooFirm:
		where = "the band begins at " + at(e.Lo)
	case v == TooSoft || beyond == TooSoft:
		where = "too soft begins at " + at(e.Limit)
	default:
		where = "the band ends at " + at(e.Hi)
	}
	return fmt.Sprintf("On the edge: %s, and this gap is not known closely enough to say on which side it lies.", where)
}

// comeBackOn returns how much speed can come back on: gap-hi .. gap-lo, or nil for
// a gap that is not above the band.
func (e Edges) comeBackOn(gap Speed, v Verdict) *Range {
	if v != Soft && v != TooSoft {
		return nil
	}
	return &Range{Lo: gap - e.Hi, Hi: gap - e.Lo}
}

// aim returns the readings that lie in the band under the baseline.
func (e Edges) aim(baseline Speed) *Range {
	return &Range{Lo: max(0, baseline-e.Hi), Hi: max(0, baseline-e.Lo)}
}
