package trace

import (
	"math"
	"slices"
)

// Calibration: the delay at which most onsets agree with the readings.
const (
	delayLeast = -0.120 // seconds
	delayMost  = +0.200
	delayStep  = 0.002
	delaySigma = 0.012
	near       = 0.045 // seconds off the expected pop that an onset may be
	nearSigma  = 0.015

	expectedWorth = 8.0  // throws that the expected scatter is worth
	medianWorth   = 0.37 // efficiency of the median absolute deviation (Rousseeuw & Croux 1993)
	strayAt       = 3.0  // standard deviations
	settleRounds  = 3
)

// calibrate sets the delay from the readings; false if too few have an onset.
func (c *speedFit) calibrate() bool {
	best, most := 0.0, 0.0
	for d := delayLeast; d <= delayMost; d += delayStep {
		sum := 0.0
		for i, want := range c.wants {
			if want == 0 {
				continue
			}
			top := 0.0 // one onset of each throw counts
			for _, l := range c.lags[i] {
				e := (l.seconds - want - d) / delaySigma
				if e*e < 16 {
					top = max(top, math.Exp(-e*e/2)*weight(l))
				}
			}
			sum += top
		}
		if sum > most {
			best, most = d, sum
		}
	}
	set := c.delay
	c.delay = best
	for i, want := range c.wants {
		c.chosen[i] = -1
		if want > 0 {
			c.chosen[i] = nearest(c.lags[i], want+best)
		}
	}
	if c.own = c.settle(); !c.own {
		c.delay = set
	}
	return c.own
}

// weight grows with an onset's loudness, above 0.
func weight(l onsetAfter) float64 { return max(0.2, (l.loud+6)/4) }

// nearest returns the onset that is loud and near the expected lag, or -1.
func nearest(lags []onsetAfter, expected float64) int {
	best, most := -1, math.Inf(-1)
	for k, l := range lags {
		d := l.seconds - expected
		if math.Abs(d) > near {
			continue
		}
		if score := l.loud - 0.5*sq(d/nearSigma); score > most {
			best, most = k, score
		}
	}
	return best
}

// settle takes the delay, its uncertainty and how much more or less the pops
// scatter than expected from the chosen pops that are near where their readings put
// them; false, and nothing is changed, if those are fewer than five.
//
// What is expected of each throw's scatter is known beforehand but for assumptions;
// what is measured on a dozen throws is known to a fifth. The one is taken for
// expectedWorth throws beside the others (a scaled inverse chi-square prior:
// Gelman et al., Bayesian Data Analysis, section 2.6; from memory). A slip among the
// readings would draw the mean and widen the scatter by which it has to be told, so
// throws beyond strayAt are left out of both.
func (c *speedFit) settle() bool {
	var off, scatter []float64
	var of []int
	for i, k := range c.chosen {
		if k < 0 || c.wants[i] == 0 {
			continue
		}
		if e := c.lags[i][k].seconds - c.wants[i] - c.delay; math.Abs(e) <= near {
			off, scatter, of = append(off, e), append(scatter, c.scatter(i, c.throws[i].Reading.Speed())), append(of, i)
		}
	}
	if len(off) < leastOwn {
		return false
	}
	middle := median(slices.Clone(off))
	rest := make([]float64, len(off))
	for i, e := range off {
		rest[i] = math.Abs(e-middle) / scatter[i]
	}
	// A median of deviations says as much of a scatter as the squares of 0.37 times as many.
	n := medianWorth * float64(len(off))
	excess := math.Sqrt((expectedWorth + n*sq(1.4826*median(rest))) / (expectedWorth + n))
	total := 0.0
	clear(c.part)
	for range settleRounds {
		total = 0
		sum, squares, kept := 0.0, 0.0, 0.0
		for i, e := range off {
			c.part[of[i]] = 0
			if math.Abs(e-middle) > strayAt*excess*scatter[i] {
				continue
			}
			w := 1 / sq(scatter[i])
			c.part[of[i]] = w
			total, sum, kept = total+w, sum+w*e, kept+1
			squares += w * sq(e-middle)
		}
		middle = sum / total
		excess = math.Sqrt((expectedWorth + squares) / (expectedWorth + max(kept-1, 0)))
	}
	for i := range c.part {
		c.part[i] /= total
	}
	c.delay += middle
	c.excess = excess
	c.delayU = excess / math.Sqrt(total)
	return true
}

// slowed returns how many times too long the film's flights are against the
// readings: see FilmSpeeds.Slowed. Onsets that have nothing to do with the reps come
// at any lag; what is common to many reps stands out of them.
func (c *speedFit) slowed() float64 {
	const step, sigma = 0.02, 0.05 // of the logarithm of lag over flight
	type point struct{ x, w float64 }
	var points []point
	n := 0.0
	rate := 0.0 // onsets per second after a release
	for i, want := range c.wants {
		if want == 0 || len(c.lags[i]) == 0 {
			continue
		}
		n++
		rate += float64(len(c.lags[i])) / (popLatest*slowest - popEarliest/2)
		for _, l := range c.lags[i] {
			points = append(points, point{math.Log(l.seconds / want), want})
		}
	}
	if n < leastOwn {
		return 0
	}
	rate /= n
	score := func(x float64) float64 {
		found, chance := 0.0, 0.0
		for _, p := range points {
			e := (p.x - x) / sigma
			if e*e < 16 {
				found += math.Exp(-e * e / 2)
			}
		}
		// The mean of that sum for onsets that come at random.
		chance = n * rate * meanOf(c.wants) * math.Exp(x) * sigma * math.Sqrt(2*math.Pi)
		return (found - chance) / math.Sqrt(n+chance)
	}
	best, most := 0.0, 0.0
	for x := math.Log(0.4); x < math.Log(slowest); x += step {
		if s := score(x); s > most {
			best, most = x, s
		}
	}
	usual := 0.0 // the best that needs no slow motion
	for x := math.Log(0.7); x <= math.Log(1.4); x += step {
		usual = max(usual, score(x))
	}
	if most < 0.4*math.Sqrt(n) {
		return 0
	}
	if usual > 0.6*most {
		return 1
	}
	return tidy(math.Exp(best))
}

// tidy returns the usual ratio of capture to play rate that is near r, or r.
func tidy(r float64) float64 {
	for _, usual := range []float64{2, 2.5, 4, 5, 8, 10, 16} {
		if math.Abs(r/usual-1) < 0.10 {
			return usual
		}
	}
	return r
}

// meanOf returns the mean of what in v is not 0; 0 for none.
func meanOf(v []float64) float64 {
	sum, n := 0.0, 0.0
	for _, x := range v {
		if x != 0 {
			sum, n = sum+x, n+1
		}
	}
	return sum / max(n, 1)
}
