package trace

import (
	"math"
	"slices"
)

// Choosing a throw's pop among the onsets after it.
const (
	slipShare   = 0.08 // of readings that are wrong (assumed)
	oddShare    = 0.05 // of right readings unlike her others of that pitch (assumed)
	readingSpan = 35.0 // mph over which a wrong reading may lie
	leastSpread = 1.5  // mph: her readings of one pitch are never taken to spread less
	otherPitch  = 0.25 // what another pitch's flights tell of this one's
	fewKnown    = 3    // pops that tell how her pops sound
	loudSpread  = 0.25 // natural logarithms: her pops never sound more alike than that
	unlikeMost  = 5.0  // spreads fainter: fainter ones are no less likely
)

// sounding is how loud and clear the pops of a film are, as lag.loud.
type sounding struct{ usual, spread float64 }

// sounding takes from pops that come where their readings put them how the film's
// pops sound; ok is false if they are too few.
func (c *speedFit) sounding() (s sounding, ok bool) {
	var loud []float64
	for i, k := range c.chosen {
		if k >= 0 && c.wants[i] > 0 && math.Abs(c.lags[i][k].seconds-c.wants[i]-c.delay) <= near {
			loud = append(loud, c.lags[i][k].loud)
		}
	}
	if len(loud) < fewKnown {
		return s, false
	}
	s.usual = median(slices.Clone(loud))
	for i := range loud {
		loud[i] = math.Abs(loud[i] - s.usual)
	}
	s.spread = max(1.4826*median(loud), loudSpread)
	return s, true
}

// unlike returns by how many spreads l is fainter than the film's pops.
func (s sounding) unlike(l onsetAfter) float64 {
	return min(max((s.usual-l.loud)/s.spread, 0), unlikeMost)
}

// choose picks every throw's pop: the likeliest of the onsets after it, each being
// where the reading puts it if the reading is right, and where other throws' pops come
// if it is not; and sounding like them. Whatever comes near the time that a wrong
// reading means would else be taken for the pop and bear the reading out. A sound that
// is unlike the pops and fits nothing is none.
func (c *speedFit) choose() {
	sounds, known := c.sounding()
	flights := c.flights()
	chosen := make([]int, len(c.throws))
	for i, lags := range c.lags {
		chosen[i] = -1
		right := c.rightness(i)
		most := math.Inf(-1)
		for k, l := range lags {
			off := math.Inf(1)
			if c.wants[i] > 0 {
				off = math.Abs(l.seconds - c.wants[i] - c.delay)
			}
			if (l.seconds < popEarliest || l.seconds > popLatest) && off > near {
				continue
			}
			score := l.loud
			if known {
				unlike := sounds.unlike(l)
				if unlike == unlikeMost && off > near {
					continue
				}
				score = -sq(unlike) / 2
			}
			chance := (1 - right) * c.commonness(i, l.seconds, flights)
			if c.wants[i] > 0 {
				sd := c.expected(i)
				chance += right * math.Exp(-0.5*sq(off/sd)) / (sd * math.Sqrt(2*math.Pi))
			}
			if score += math.Log(chance); score > most {
				chosen[i], most = k, score
			}
		}
	}
	copy(c.chosen, chosen)
}

// expected returns the standard deviation to expect of throw i's pop about where a
// right reading puts it, seconds.
func (c *speedFit) expected(i int) float64 {
	return math.Hypot(c.excess*c.scatter(i, c.throws[i].Reading.Speed()), c.delayU)
}

// flights returns, for every throw, when after its release its pop comes: that which
// is chosen so far, else that which its reading means; 0 for neither.
func (c *speedFit) flights() []float64 {
	out := make([]float64, len(c.throws))
	for i, k := range c.chosen {
		if k >= 0 {
			out[i] = c.lags[i][k].seconds
		} else if c.wants[i] > 0 {
			out[i] = c.wants[i] + c.delay
		}
	}
	return out
}

// commonness is the probability density, 1/s, of throw i's pop at a lag, as the other
// throws have it: those of the same pitch before all.
func (c *speedFit) commonness(i int, seconds float64, flights []float64) float64 {
	const anywhere = 0.2 // share of pops that come at any time
	sum, weights := 0.0, 0.0
	for j, s := range flights {
		if j == i || s == 0 {
			continue
		}
		w := 1.0
		if c.throws[j].Pitch != c.throws[i].Pitch {
			w = otherPitch
		}
		sum += w * math.Exp(-0.5*sq((seconds-s)/popSpread))
		weights += w
	}
	any := 1 / (popLatest - popEarliest)
	if weights == 0 {
		return any
	}
	return anywhere*any + (1-anywhere)*sum/(weights*popSpread*math.Sqrt(2*math.Pi))
}

// rightness is the probability that throw i's reading is right, by how like her other
// readings of that pitch it is; 0 without a reading.
func (c *speedFit) rightness(i int) float64 {
	if c.wants[i] == 0 {
		return 0
	}
	right, wrong := 1/readingSpan, 1/readingSpan
	if usual, spread, ok := c.usualReading(i); ok {
		e := (float64(c.throws[i].Reading.Speed()) - usual) / spread
		right = oddShare*right + (1-oddShare)*math.Exp(-e*e/2)/(spread*math.Sqrt(2*math.Pi))
	}
	return (1 - slipShare) * right / ((1-slipShare)*right + slipShare*wrong)
}

// usualReading returns the middle and the spread, mph, of the other readings of throw
// i's pitch; ok is false for fewer than three.
func (c *speedFit) usualReading(i int) (usual, spread float64, ok bool) {
	var same []float64
	for j, t := range c.throws {
		if j != i && t.Reading != nil && t.Pitch == c.throws[i].Pitch {
			same = append(same, float64(t.Reading.Speed()))
		}
	}
	if len(same) < 3 {
		return 0, 0, false
	}
	usual = median(slices.Clone(same))
	for k := range same {
		same[k] = math.Abs(same[k] - usual)
	}
	return usual, max(1.4826*median(same), leastSpread), true
}
