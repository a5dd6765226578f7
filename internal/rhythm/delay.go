package rhythm

import "math"

// How long after the pitch a reading is typed, and how often one is not. Working
// values, no source: from 1 to 10 seconds nearly always, now and then much later, when
// something came between.
const (
	soonest, usual, latest = 0.2, 10.0, 45.0 // seconds
	full                   = 1.0             // from here on as likely as any, seconds
	late                   = 0.003           // share of entries beyond usual
	lateFade               = 8.0             // by which the share of still later ones falls by e, seconds

	missed = 0.05 // share of reps without an entry
	// Entries without a rep, a second: while the film ran, where its rep was not found,
	// and before and after it.
	strayWithin, strayBeyond = 1e-5, 0.01
)

// stray is the logarithm of how often entries without a rep come, a second, at the given
// time on the film's clock.
func stray(at float64, reps []float64) float64 {
	if at < reps[0] || at > reps[len(reps)-1]+usual {
		return math.Log(strayBeyond)
	}
	return math.Log(strayWithin)
}

// gain is how much likelier, as a logarithm, it is that a rep has an entry delay seconds
// later than that it has none, for a second of that delay; -Inf for never.
func gain(delay float64) float64 {
	if delay < soonest || delay > latest {
		return math.Inf(-1)
	}
	density := (1 - late) / (usual - (soonest+full)/2)
	switch {
	case delay < full:
		density *= (delay - soonest) / (full - soonest)
	case delay > usual:
		density = late / lateFade * math.Exp(-(delay-usual)/lateFade)
	}
	return math.Log((1 - missed) / missed * density)
}
