package judged

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// fewToOffer is how many gaps a workout is offered by at least.
const fewToOffer = 5

// Offer is the starter workout that what the bullpen shows speaks for: the legs' where
// they slowed down, the arm's where it did, that for blending where the body was looked at
// and held while the gap missed its band more often than not. ok is false where nothing
// speaks for one.
func (b Bullpen) Offer() (bullpen.Starter, bool) {
	s, ok := b.foremost()
	if !ok {
		return bullpen.Starter{}, false
	}
	c, looked := b.Body.Check(tempo.SubjectOf(s.Pitch, s.Drill))
	switch {
	case c.Verdict == tempo.SlowedBody:
		return bullpen.StarterOf("legs")
	case c.Verdict == tempo.SlowedArm:
		return bullpen.StarterOf("arm")
	case looked && c.Verdict == tempo.SameBody && s.Judged >= fewToOffer && 2*s.InBand < s.Judged:
		return bullpen.StarterOf("blend")
	}
	return bullpen.Starter{}, false
}
