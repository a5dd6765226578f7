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
)

// calibrate sets the delay from the readings; false if too few have an onset.
func (c *clocking) calibrate() bool {
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
	near := c.residuals(best)
	if len(near) < leastOwn {
		return false
	}
	c.settle(best, near)
	c.own = true
	return true
}

// weight grows with an onset's loudness, above 0.
func weight(l lag) float64 { return max(0.2, (l.loud+8)/4) }

// residuals returns, for every throw with a reading and an onset near where
// delay puts its pop, how much later that onset is.
func (c *clocking) residuals(delay float64) []float64 {
	var out []float64
	for i, want := range c.wants {
		if want == 0 {
			continue
		}
		if k := nearest(c.lags[i], want+delay); k >= 0 {
			out = append(out, c.lags[i][k].seconds-want-delay)
		}
	}
	return out
}

// settle sets delay, its uncertainty and the scale of the residuals from those
// found about delay. The median's standard error is 1.25 that of the mean.
func (c *clocking) settle(delay float64, residuals []float64) {
	n := float64(len(residuals))
	off := median(slices.Clone(residuals))
	for i := range residuals {
		residuals[i] = math.Abs(residuals[i] - off)
	}
	c.delay = delay + off
	c.scale = max(1.4826*median(residuals), leastScale)
	c.delayU = 1.25 * c.scale / math.Sqrt(n)
}

// recalibrate takes the delay from the chosen pops.
func (c *clocking) recalibrate() {
	var r []float64
	for i, k := range c.chosen {
		if k >= 0 && c.wants[i] > 0 && c.fitting[i] {
			r = append(r, c.lags[i][k].seconds-c.wants[i]-c.delay)
		}
	}
	if len(r) >= leastOwn {
		c.settle(c.delay, r)
	}
}

// nearest returns the onset that is loud and near the expected lag, or -1.
func nearest(lags []lag, expected float64) int {
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

// choose picks every throw's pop: an onset that fits its reading if there is one,
// else the one that is loud and comes as late as other throws' pops do.
func (c *clocking) choose() {
	var known []float64 // lags of the pops that fit
	for i, want := range c.wants {
		c.chosen[i], c.fitting[i] = -1, false
		if want == 0 {
			continue
		}
		if k := nearest(c.lags[i], want+c.delay); k >= 0 {
			c.chosen[i], c.fitting[i] = k, true
			known = append(known, c.lags[i][k].seconds)
		}
	}
	for i, lags := range c.lags {
		if c.chosen[i] >= 0 {
			continue
		}
		most := math.Inf(-1)
		for k, l := range lags {
			if l.seconds < popEarliest || l.seconds > popLatest {
				continue
			}
			common := 0.0
			for _, s := range known {
				common += math.Exp(-0.5*sq((l.seconds-s)/popSpread)) / float64(len(known))
			}
			if score := l.loud + popCommon*math.Log(common+0.05); score > most {
				c.chosen[i], most = k, score
			}
		}
	}
}

// slowed returns how many times too long the film's flights are against the
// readings: see Clocked.Slowed. Onsets that have nothing to do with the reps come
// at any lag; what is common to many reps stands out of them.
func (c *clocking) slowed() float64 {
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
