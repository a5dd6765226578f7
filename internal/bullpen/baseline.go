package bullpen

import (
	"math"
	"sort"
)

// bases answers what a gap is counted from.
type bases struct {
	pitch  Pitch
	policy Policy
	typed  Speed
	sets   map[setKey]*set
	itself string // why the pitch has no verdict itself
}

// next is the place, for before, of the throw that is still to come.
const next = math.MaxInt

// before returns the baseline of the group for the throw at the given place in the
// order thrown, or nil if there is none.
//
// Mean: of all of the bullpen. Hardest: of all of the bullpen; it favours a reading
// that erred upwards. Last: the last one before the throw. Typed: the number for
// the full pitch; drills, which have baselines of their own, go by their mean.
func (b bases) before(place int, in group) *Baseline {
	if b.policy == Typed && in.drill == "" {
		if !b.typed.possible() {
			return nil
		}
		return &Baseline{Speed: b.typed, Policy: Typed, Pitch: b.pitch}
	}
	s := b.sets[setKey{b.pitch, in}]
	if s == nil {
		return nil
	}
	switch b.policy {
	case Hardest:
		return s.hardest.alone(Hardest)
	case Last:
		earlier := sort.Search(len(s.throws), func(i int) bool { return s.throws[i].place >= place })
		if earlier == 0 {
			return nil
		}
		return s.throws[earlier-1].alone(Last)
	}
	return &s.mean
}

// alone returns the throw as a baseline by itself.
func (t *throw) alone(policy Policy) *Baseline {
	return &Baseline{Speed: t.speed, Policy: policy, Pitch: t.pitch, N: 1, RepID: t.rep.ID, uncertainty: t.u}
}
