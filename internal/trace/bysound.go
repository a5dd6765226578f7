package trace

import (
	"cmp"
	"math"
	"slices"
)

// HeardAlone says of a rep that nothing but its pop was heard yet.
const HeardAlone Reason = "by sound so far"

// What is taken for a pop while nothing was seen.
const (
	heardApart  = 3.0  // real seconds between pitches, at least
	heardFlight = 0.55 // real seconds from release to pop: 37 ft at 50 mph, and the sound's way; common practice, no source
	heardSD     = 0.15 // and about how far off that is
	heardSofter = 1.4  // natural logarithms of amplitude by which a pop is softer than the loud ones, at most: 12 dB
)

// FindBySound guesses at the reps of a film from its sound alone, for as long as its
// pictures were not looked at: one before each loud sudden sound that nothing louder
// is near. It is never sure of any. slow is the film's.
func FindBySound(sound *Sound, slow float64) []Candidate {
	if sound == nil {
		return nil
	}
	if !(slow > 0) {
		slow = 1
	}
	loud := slices.DeleteFunc(slices.Clone(sound.Onsets), func(o Onset) bool { return o.Z <= singleLoud })
	slices.SortFunc(loud, func(a, b Onset) int { return cmp.Or(cmp.Compare(b.Peak, a.Peak), cmp.Compare(a.Time, b.Time)) })
	var taken []Onset
	for _, o := range loud {
		if len(taken) > 0 && o.Peak < taken[len(taken)/2].Peak-heardSofter {
			break
		}
		near := func(p Onset) bool { return math.Abs(p.Time-o.Time) < heardApart*slow }
		if o.Time >= heardFlight*slow && !slices.ContainsFunc(taken, near) {
			taken = append(taken, o)
		}
	}
	slices.SortFunc(taken, func(a, b Onset) int { return cmp.Compare(a.Time, b.Time) })
	out := make([]Candidate, len(taken))
	for i, o := range taken {
		c := newCandidate(o.Time/slow-heardFlight, heardSD, slow)
		c.From, c.To = max(c.From, 0), min(c.To, sound.End)
		c.Found, c.Pop, c.Reason, c.Sure, c.Confidence = math.NaN(), o.Time, HeardAlone, false, heardConfidence
		out[i] = c
	}
	return out
}

// heardConfidence is in what only was heard: less than in anything that was seen.
const heardConfidence = 0.2
