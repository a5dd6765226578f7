package trace

import (
	"math"
	"slices"

	"tenoff/internal/bullpen"
)

// DistanceDoubt says that a film's flights fit another way from release to plate
// than the one that is set.
type DistanceDoubt struct {
	Metres float64 // of the way that fits, release to plate
	U      float64 // its standard uncertainty, metres
}

// What a wrong distance is told by. A way that is wrong by d metres makes all pops
// late by d/v: it looks like a delay of the sound, and one that differs from pitch to
// pitch with their speeds. A delay is bounded: sound takes 3 ms a metre, and phones
// keep sound and picture within some tens of milliseconds of one another.
const (
	soundU     = 0.025 // seconds: of a file's offset of sound to picture, with those that are 40 ms off in mind (assumed)
	habitU     = 0.008 // seconds: what one instructor marks every release early or late (assumed)
	wayLeast   = 4.0   // metres, release to glove
	wayMost    = 20.0
	wayStep    = 0.80
	delayTried = 0.008
	popAstray  = 0.03 // share of throws whose pop is any sound
	wayThrows  = 40   // throws that are looked at, at most
	wayApart   = 0.75 // metres: less is no mistake anybody made
	wayDoubt   = 5.0  // of the log likelihood: 3.2 standard uncertainties
	wayAgree   = 0.6  // of the throws with a sound after them that have to agree
	lateU      = 0.10 // seconds: of the sound of a file in which it is out of step, and
	lateSeldom = 5.0  // of the log likelihood: how seldom that is (assumed)
)

// distanceFit is how well the pops fit one way and the likeliest delay on it.
type distanceFit struct {
	likelihood float64 // logarithm, up to a constant
	agree      int     // throws with a pop where it is expected
}

// doubtDistance returns another way that the flights fit far better than the one that is
// set, nil if there is none. It asks for the likeliest way and delay together, each
// throw's pop being near where they put it or, seldom, anywhere.
func (c *speedFit) doubtDistance() *DistanceDoubt {
	heard := c.heard()
	if len(heard) < leastOwn {
		return nil
	}
	fit := func(metres float64) float64 { return c.fitDistance(metres, heard, soundU).likelihood }
	best, most := c.way.Metres, fit(c.way.Metres)
	// A sound that is out of step is late for all pitches alike, another way is not: where
	// the one explains it as well as the other, the distance is not doubted.
	set := max(most, c.fitDistance(c.way.Metres, heard, lateU).likelihood-lateSeldom)
	for m := wayLeast; m <= wayMost; m += wayStep {
		if l := fit(m); l > most {
			best, most = m, l
		}
	}
	if most-set < wayDoubt {
		return nil
	}
	for fine := wayStep / 2; fine > 0.01; fine /= 2 {
		for _, m := range [...]float64{best - fine, best + fine} {
			if l := fit(m); l > most {
				best, most = m, l
			}
		}
	}
	need := max(leastOwn, int(math.Ceil(wayAgree*float64(len(heard)))))
	if math.Abs(best-c.way.Metres) < wayApart || c.fitDistance(best, heard, soundU).agree < need {
		return nil
	}
	// The likelihood is a parabola about its top: its curvature is 1/u^2.
	const h = 0.3
	bend := (2*most - fit(best-h) - fit(best+h)) / (h * h)
	u := wayApart
	if bend > 0 {
		u = 1 / math.Sqrt(bend)
	}
	return &DistanceDoubt{Metres: best - c.glove, U: u}
}

// flown is a throw as its way is asked about.
type flown struct {
	speed   bullpen.Speed // the gun's
	scatter float64       // standard uncertainty of its pop about where way and delay put it, seconds
	lags    []onsetAfter  // those at a likely time
}

// heard lists throws with a reading and a sound at some likely time after them,
// evenly strewn over all if they are many.
func (c *speedFit) heard() []flown {
	var all []flown
	for i, want := range c.wants {
		lags := c.lags[i]
		likely := slices.IndexFunc(lags, func(l onsetAfter) bool { return l.seconds > popLatest })
		if likely < 0 {
			likely = len(lags)
		}
		if want > 0 && likely > 0 {
			v := c.throws[i].Reading.Speed()
			all = append(all, flown{v, c.scatter(i, v), lags[:likely]})
		}
	}
	if len(all) <= wayThrows {
		return all
	}
	out := make([]flown, wayThrows)
	for k := range out {
		out[k] = all[k*len(all)/wayThrows]
	}
	return out
}

// scatter is the standard uncertainty of throw i's pop about where way and delay put
// it, seconds, with the reading right to the gun and half the display's step.
func (c *speedFit) scatter(i int, v bullpen.Speed) float64 {
	r := c.throws[i].Reading
	shown := math.Hypot(r.Step/math.Sqrt(12)/r.Value, gunU/float64(r.Speed())) * c.wants[i]
	return math.Sqrt(c.ownScatter(i, v.MetresPerSecond()) + sq(shown))
}

// ownScatter is the variance of throw i's pop, seconds squared, that is the film's own:
// of its release, its pop and where its hand and glove are.
func (c *speedFit) ownScatter(i int, metresPerSecond float64) float64 {
	return sq(c.throws[i].ReleaseSD) + sq(popU) + sq(math.Hypot(gloveU, handU)/metresPerSecond)
}

// fitDistance fits the delay of the sound, out of step by about soundU seconds, to a way of
// metres, release to glove.
func (c *speedFit) fitDistance(metres float64, heard []flown, soundU float64) distanceFit {
	way := bullpen.Way{Metres: metres, Drag: c.way.Drag}
	expected := c.phone / soundSpeed
	delayU := math.Sqrt(sq(c.phoneU/soundSpeed) + sq(soundU) + sq(habitU))
	pops := make([]float64, len(heard))
	for i, f := range heard {
		pops[i] = way.Seconds(f.speed)
	}
	best := distanceFit{likelihood: math.Inf(-1)}
	for d := expected - 3.5*delayU; d <= expected+3.5*delayU; d += delayTried {
		now := distanceFit{likelihood: -sq((d-expected)/delayU) / 2}
		for i, f := range heard {
			nearest := math.Inf(1)
			for _, l := range f.lags {
				nearest = min(nearest, math.Abs(l.seconds-pops[i]-d))
			}
			off := nearest / f.scatter
			if off < 3 {
				now.agree++
			}
			now.likelihood += math.Log(popAstray + (1-popAstray)*math.Exp(-off*off/2))
			if now.likelihood < best.likelihood {
				break
			}
		}
		if now.likelihood > best.likelihood {
			best = now
		}
	}
	return best
}
