package trace

import (
	"math"

	"tenoff/internal/bullpen"
)

// Doubt is the likely reason why film and gun disagree about a rep.
type Doubt string

// The doubts.
const (
	NoDoubt       Doubt = ""
	DigitsSwapped Doubt = "digits swapped"        // 74 for 47
	OtherUnit     Doubt = "other unit"            // km/h typed as mph, or mph as km/h
	OthersPitch   Doubt = "somebody else's pitch" // or a slip: the reading fits nothing
	OthersPop     Doubt = "pop not this rep's"    // the reading is like her others: the sound is wrong
)

// speed returns throw i's film speed, without a doubt yet.
func (c *speedFit) speed(i int) FilmSpeed {
	out := FilmSpeed{Pop: math.NaN(), Flight: math.NaN()}
	k := c.chosen[i]
	if k < 0 {
		return out
	}
	l, t := c.lags[i][k], c.throws[i]
	flight := l.seconds - c.delay
	if flight < popEarliest/2 {
		return out
	}
	out.Pop = t.Sound.Onsets[l.index].Time
	out.Flight = flight
	out.Speed = c.way.Release(flight)
	out.U = c.uncertainty(i, out)
	return out
}

// uncertainty returns the standard uncertainty of f, throw i's, by dv/dT = -v/T
// and dv/dD about v/D. A calibrated delay holds what is wrong with the distance
// as it is for the mean of the readings that it was taken from: a way longer by d is
// longer by d/v in time, and slower pitches are later than the delay by the difference.
// What differs from rep to rep is as much more than expected as
// the pops scatter about the readings, and never less: the less may be the gun's.
func (c *speedFit) uncertainty(i int, f FilmSpeed) bullpen.Speed {
	metresPerSecond := f.Speed.MetresPerSecond()
	rep := sq(max(c.excess, 1)) * c.ownScatter(i, metresPerSecond)
	common := sq(c.delayU)
	if c.own {
		common += sq(c.wayU * (1/metresPerSecond - c.pace()))
	} else {
		common += sq(c.wayU / metresPerSecond)
		// dv/dk is about v D/2, which as time is T k D/2 for a share of k.
		// The mark that the others were found from is off by the same for all of them.
		common += sq(markU)
		common += sq(f.Flight * c.way.Drag * c.way.Metres / 2 * dragU)
	}
	return bullpen.Speed(float64(f.Speed) / f.Flight * math.Sqrt(rep+common))
}

// pace is the mean of one over the speeds, seconds a metre, of the readings that the delay
// was taken from.
func (c *speedFit) pace() float64 {
	sum := 0.0
	for i, part := range c.part {
		if part > 0 {
			sum += part / c.throws[i].Reading.Speed().MetresPerSecond()
		}
	}
	return sum
}

// doubts fills in what film and gun can't both be right about.
func (c *speedFit) doubts(speeds []FilmSpeed) {
	for i, f := range speeds {
		if f.Speed == 0 || c.wants[i] == 0 {
			continue
		}
		limit := c.limit(i)
		if !c.own {
			limit = max(limit, doubtBlind*float64(f.U)/float64(f.Speed)*f.Flight)
		}
		if c.agree(f, c.throws[i].Reading.Speed(), limit) {
			continue
		}
		speeds[i].Doubt, speeds[i].Meant = c.cause(i, f, limit)
		if speeds[i].Doubt == OthersPop {
			speeds[i].Speed, speeds[i].U = 0, 0 // it would be some other sound's
		}
	}
}

// agree reports whether film speed f and a gun's v can both be right: their flights
// within limit seconds, or they themselves nearer than any slip.
func (c *speedFit) agree(f FilmSpeed, v bullpen.Speed, limit float64) bool {
	return math.Abs(f.Flight-c.way.Seconds(v)) <= limit || math.Abs(float64(f.Speed-v)) < leastSlip
}

// limit returns how many seconds throw i's flight may be from what its reading means.
// A throw that has part in the delay has drawn it to itself and lies nearer, by the
// leverage h: the variance of its residual is 1-h of a throw's, that of one without
// part 1+h (Cook & Weisberg, Residuals and Influence in Regression, 1982, section 2.1;
// from memory).
func (c *speedFit) limit(i int) float64 {
	scatter := c.excess * c.scatter(i, c.throws[i].Reading.Speed())
	if !c.own {
		return doubtAt * scatter
	}
	if c.part[i] > 0 {
		return doubtAt * scatter * math.Sqrt(max(1-c.part[i], 0.2))
	}
	return doubtAt * math.Hypot(scatter, c.delayU)
}

// cause names the likeliest reason for a disagreement beyond limit seconds.
func (c *speedFit) cause(i int, f FilmSpeed, limit float64) (Doubt, *bullpen.Reading) {
	reading := *c.throws[i].Reading
	fits := func(r bullpen.Reading) bool { return c.agree(f, r.Speed(), limit) }
	if swapped, ok := reading.Swapped(); ok && fits(swapped) {
		return DigitsSwapped, &swapped
	}
	if other := reading.InOther(); fits(other) {
		return OtherUnit, &other
	}
	if c.likeHers(i) {
		return OthersPop, nil
	}
	return OthersPitch, nil
}

// likeHers reports whether throw i's reading is like the others of its pitch.
func (c *speedFit) likeHers(i int) bool {
	usual, spread, ok := c.usualReading(i)
	return ok && math.Abs(float64(c.throws[i].Reading.Speed())-usual) < 3*spread
}
