package tempo

import (
	"math"

	"tenoff/internal/evidence"
)

// What is known of a pitcher before her film is looked at, in logarithms of times.
// Working values, no source: her fastballs' legs and arm repeat to about 2 %, her other
// pitches' to about 3 %, and a bullpen makes her faster or slower by about as much as it
// does the ball, 2 mph of 55 over 60 reps.
const (
	ownSpread   = 0.02
	otherSpread = 0.03
	usualSlope  = 2.0 / 55 / 60
)

// lapTime is how long legs or arm took on one rep.
type lapTime struct {
	place float64 // where the rep stands in the order thrown
	log   float64 // natural logarithm of the seconds
	u     float64 // standard uncertainty of measuring it, relative
	// match is how well both ends' motion fits the fastballs', where both were found.
	match float64
	found bool
}

// herFastballs is how long legs or arm take on the pitcher's own fastballs of one drill, seen from
// one side: a line over the bullpen, for she tires. It has at least one lap.
type herFastballs struct {
	line evidence.Line
	laps []lapTime
}

func ownOf(laps []lapTime) herFastballs {
	reps := make([]evidence.Rep, len(laps))
	for i, l := range laps {
		reps[i] = evidence.Rep{Place: l.place, Value: l.log, Known: l.u * l.u}
	}
	return herFastballs{evidence.LineOf(evidence.Prior{Spreads: []float64{ownSpread}, Slope: usualSlope}, reps), laps}
}

// at is how long she takes there.
func (o herFastballs) at(place float64) evidence.Estimate { return o.line.Level(0, place) }

// next is what one more fastball there would take, measured to u.
func (o herFastballs) next(place, u float64) evidence.Estimate { return o.line.Next(0, place, u*u) }

// known is the variance that measuring makes, on average over the laps.
func (o herFastballs) known() float64 {
	var sum float64
	for _, l := range o.laps {
		sum += l.u * l.u
	}
	return sum / float64(len(o.laps))
}

// match is the mean match of the laps that were found, false where none was.
func match(laps []lapTime) (float64, bool) {
	var sum, n float64
	for _, l := range laps {
		if l.found {
			sum, n = sum+l.match, n+1
		}
	}
	return sum / n, n > 0
}

// unlike is how much worse the laps' motion matches the fastballs' than those match one
// another, 0 for not at all or for hand marks.
func (o herFastballs) unlike(laps []lapTime) float64 {
	fast, ok := match(o.laps)
	off, ok2 := match(laps)
	if !ok || !ok2 {
		return 0
	}
	return math.Max(fast-off, 0)
}

// without returns the line of all laps but the one at index i.
func (o herFastballs) without(i int) herFastballs {
	laps := make([]lapTime, 0, len(o.laps)-1)
	return ownOf(append(append(laps, o.laps[:i]...), o.laps[i+1:]...))
}
