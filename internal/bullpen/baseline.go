package bullpen

import (
	"math"
	"sort"

	"tenoff/internal/evidence"
)

// bases answers what a gap is counted from.
type bases struct {
	pitch  Pitch
	policy Policy
	typed  typed
	sets   map[setKey]*set
	line   evidence.Line
	last   int    // place of the throw that is still to come
	itself string // why the pitch has no verdict itself
}

// typed is the number that stands for her fastball.
type typed struct {
	speed    Speed
	gun      GunPlace // where it was read from; "" if nobody said
	variance float64  // mph squared
}

// before returns the baseline of the group for the throw at the given place in the
// order thrown, or nil if there is none.
//
// Mean: where her line through all of the bullpen's is at the place, for she warms up and
// tires. Hardest: of all of the bullpen; it rises with how many she throws. Last: the last
// one before the throw, which is one rep and as unsure as one. Typed: the number for the
// full pitch, read from the same place; drills, which have baselines of their own, go by
// their mean.
func (b bases) before(place int, in group) *Baseline {
	if b.policy == Typed && in.drill == "" {
		if !b.typed.speed.possible() || b.typed.gun != "" && b.typed.gun != in.gun {
			return nil
		}
		return &Baseline{
			Speed: b.typed.speed, Policy: Typed, Pitch: b.pitch,
			level: evidence.Estimate{Value: float64(b.typed.speed), Scale: math.Sqrt(b.typed.variance), DF: math.Inf(1)},
		}
	}
	s := b.sets[setKey{b.pitch, in}]
	if s == nil || len(s.throws) == 0 {
		return nil
	}
	one, df := b.line.Spread(s.number), max(leastAlone, b.line.SpreadDF(s.number))
	switch b.policy {
	case Hardest:
		n := len(s.throws)
		return s.hardest.alone(Hardest, n, evidence.Estimate{Scale: one * math.Sqrt(varianceOfMost(n)), DF: df})
	case Last:
		earlier := sort.Search(len(s.throws), func(i int) bool { return s.throws[i].place >= place })
		if earlier == 0 {
			return nil
		}
		return s.throws[earlier-1].alone(Last, 1, evidence.Estimate{Scale: one, DF: df})
	}
	level := b.line.Level(s.number, float64(place))
	return &Baseline{Speed: Speed(level.Value), Policy: MeanOf, Pitch: s.pitch, N: len(s.throws), SD: spread(s.sample), level: level}
}

// next returns the baseline that the group's next throw will have.
func (b bases) next(in group) *Baseline { return b.before(b.last, in) }

// leastAlone is how many degrees of freedom a throw by itself is known with at least: a group
// of one beside few others has hardly 2, of which the standard uncertainty is endless. Even
// with 3 it is 1.7 times the spread.
const leastAlone = 3

// alone returns the throw as a baseline by itself, one of n. off is how far it may lie from
// her level, about 0; the display's step comes on top, and is known.
func (t *throw) alone(policy Policy, n int, off evidence.Estimate) *Baseline {
	return &Baseline{
		Speed: t.speed, Policy: policy, Pitch: t.pitch, N: n, RepID: t.rep.ID,
		level: off.Minus(-float64(t.speed)).Blurred(t.rounding),
	}
}

// varianceOfMost returns the variance of the largest of n >= 1 normal numbers of variance
// 1, and meanOfMost how far it lies over their mean (Teichroew, Ann. Math. Statist. 27,
// 410, 1956, tables them), by the trapezoid rule over the density n phi(x) Phi(x)^(n-1).
func varianceOfMost(n int) float64 {
	mean, square := momentsOfMost(n)
	return square - mean*mean
}

func meanOfMost(n int) float64 {
	mean, _ := momentsOfMost(n)
	return mean
}

func momentsOfMost(n int) (mean, square float64) {
	const far, step = 9.0, 1.0 / 16
	for x := -far; x <= far; x += step {
		below := 0.5 * math.Erfc(-x/math.Sqrt2)
		share := step * float64(n) * math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) * math.Pow(below, float64(n-1))
		mean += x * share
		square += x * x * share
	}
	return mean, square
}
