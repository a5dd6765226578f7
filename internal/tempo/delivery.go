package tempo

import (
	"math"

	"tenoff/internal/bullpen"
)

// Instants are the four instants of one delivery in real seconds on any common
// clock; NaN is an instant that is not known.
type Instants struct {
	Drive, Plant, Top, Release float64
}

// Unknown returns instants of which none is known.
func Unknown() Instants {
	n := math.NaN()
	return Instants{n, n, n, n}
}

// InstantsOf reads a rep's marks off its film's clock. A mark outside the clock
// counts as not made.
func InstantsOf(rep bullpen.Rep, clock bullpen.Clock) Instants {
	at := func(frame int) float64 {
		if frame < 0 || frame >= clock.Frames() {
			return math.NaN()
		}
		return clock.RealSeconds(0, frame)
	}
	return Instants{at(rep.Drive), at(rep.Plant), at(rep.Top), at(rep.Release)}
}

// taken returns when the pictures shown at these instants were taken.
func (i Instants) taken(c bullpen.Cadence) Instants {
	for _, at := range []*float64{&i.Drive, &i.Plant, &i.Top, &i.Release} {
		if !math.IsNaN(*at) {
			*at = c.Taken(*at)
		}
	}
	return i
}

// Complete reports whether all four are known.
func (i Instants) Complete() bool { return !math.IsNaN(i.Drive + i.Plant + i.Top + i.Release) }

// Or returns i with the instants that it lacks taken from other.
func (i Instants) Or(other Instants) Instants {
	or := func(a, b float64) float64 {
		if math.IsNaN(a) {
			return b
		}
		return a
	}
	return Instants{or(i.Drive, other.Drive), or(i.Plant, other.Plant), or(i.Top, other.Top), or(i.Release, other.Release)}
}

// Legs returns the legs time, drive to plant, in seconds; NaN if either is not
// known or they are out of order.
func (i Instants) Legs() float64 { return span(i.Drive, i.Plant) }

// Arm returns the arm time, top to release, in seconds; NaN likewise.
func (i Instants) Arm() float64 { return span(i.Top, i.Release) }

func span(a, b float64) float64 {
	if d := b - a; d > 0 {
		return d
	}
	return math.NaN()
}
