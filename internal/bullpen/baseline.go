package bullpen

import (
	"math"
	"sort"
)

// group is what readings have to share to be compared: the drill and the place of
// the gun, within one bullpen.
type group struct {
	drill string // as drillKey gives it
	gun   GunPlace
}

// base holds the readings of the baseline pitch in one group, as thrown.
type base struct {
	at       []int // index of the throw among all, rising
	throws   []throw
	mean, sd float64
	own      float64 // mean square of the readings' own uncertainties
	hardest  int     // index in throws
}

func (b *base) add(at int, t throw) {
	if len(b.throws) == 0 || t.speed > b.throws[b.hardest].speed {
		b.hardest = len(b.throws)
	}
	b.at, b.throws = append(b.at, at), append(b.throws, t)
}

// close computes what hangs on all of them together.
func (b *base) close() {
	speeds := make([]float64, len(b.throws))
	var own float64
	for i, t := range b.throws {
		speeds[i] = float64(t.speed)
		own += float64(t.u * t.u)
	}
	s := SampleOf(speeds)
	b.mean, b.sd, b.own = s.Mean, s.SD, own/float64(s.N)
}

// bases answers what a gap is counted from.
type bases struct {
	pitch   Pitch
	policy  Policy
	typed   Speed
	byGroup map[group]*base
}

// before returns the baseline of the given group for the throw at index at; math.MaxInt
// asks for the next one to be thrown. nil if there is none.
//
// Mean: of all of the bullpen. Hardest: of all of the bullpen; it favours a reading
// that erred upwards. Last: the last one before the throw. Typed: the number for
// the full pitch; drills, which have baselines of their own, go by their mean.
func (b bases) before(at int, in group) *Baseline {
	if b.policy == Typed && in.drill == "" {
		if !b.typed.possible() {
			return nil
		}
		return &Baseline{Speed: b.typed, Policy: Typed, Pitch: b.pitch}
	}
	found := b.byGroup[in]
	if found == nil {
		return nil
	}
	one := func(policy Policy, t throw) *Baseline {
		return &Baseline{Speed: t.speed, Policy: policy, Pitch: b.pitch, N: 1, RepID: t.rep.ID, uncertainty: t.u}
	}
	switch b.policy {
	case Hardest:
		return one(Hardest, found.throws[found.hardest])
	case Last:
		if earlier := sort.SearchInts(found.at, at); earlier > 0 {
			return one(Last, found.throws[earlier-1])
		}
		return nil
	}
	n := len(found.throws)
	all := &Baseline{Speed: Speed(found.mean), Policy: MeanOf, Pitch: b.pitch, N: n, uncertainty: ofMean(n, found.sd, found.own)}
	if n > 1 {
		sd := Speed(found.sd)
		all.SD = &sd
	}
	return all
}

const next = math.MaxInt // for before: the throw that is still to come
