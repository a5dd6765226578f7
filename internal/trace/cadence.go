package trace

import (
	"math"
	"slices"

	"tenoff/internal/bullpen"
)

// Cadence is how a film was re-timed, as its motion samples see it.
type Cadence struct {
	bullpen.Cadence // its step in the film's real seconds
	// Regular is true of a film whose frames are repeated in step or not at all: what
	// lies between two repeats is then known to be whole.
	Regular bool

	reach int // steps that each sample reaches back over
}

// Retimed is the share of repeated frames from which on a film is called re-timed: what
// is found on it still holds, but the phone's original would be better.
const Retimed = 0.02

const (
	leastRepeats = 12 // repeated frames from which on a cadence is looked for
	leastCadence = 4  // frames
	mostCadence  = 12
	leastEven    = 0.90 // share of the samples that come a step after the one before
	leastLoyal   = 0.75 // share of the repeated frames that keep to the cadence
	leastKept    = 0.65 // share of the cycles with motion about it that have the repeat
	leastGap     = 0.43 // of the logarithm of how much further it is across the gap
	leastMoving  = 400  // energy from which on a sample tells of a gap or of a repeat
)

// Cadence looks for a cadence in a film each frame of which ends a sample: it has none
// where frames are repeated now and then, or where only repeats stretch the film, which
// the whole delivery's stretch sees.
func (m *Motion) Cadence() Cadence {
	mended := 0
	for _, d := range m.Doubled {
		if d {
			mended++
		}
	}
	if float64(mended) <= Retimed*float64(m.Len()) {
		return Cadence{Regular: true}
	}
	step, reach := m.evenSteps()
	if reach == 0 || mended < leastRepeats*reach {
		return Cadence{}
	}
	c := Cadence{Cadence: bullpen.Cadence{Step: step / m.SlowFactor()}, reach: reach}
	energy := m.Energy()
	if !c.repeats(m, energy, mended) {
		return Cadence{}
	}
	gap, known := c.gap(m, energy)
	switch {
	case !known:
		return Cadence{}
	case !gap:
		return Cadence{Regular: true}
	}
	c.Regular = true
	return c
}

// evenSteps returns the file seconds from sample to sample, and over how many of them
// each sample reaches back: 0 where samples come unevenly.
func (m *Motion) evenSteps() (step float64, reach int) {
	if m.Len() < 2 {
		return 0, 0
	}
	steps, lags := make([]float64, m.Len()-1), make([]float64, m.Len()-1)
	for i := range steps {
		steps[i], lags[i] = m.Times[i+1]-m.Times[i], float64(m.Shifts[i+1].Lag)
	}
	usual := median(slices.Clone(steps))
	if usual <= 0 {
		return 0, 0
	}
	reach = int(math.Round(median(slices.Clone(lags)) / usual))
	sum, even := 0.0, 0
	for i, s := range steps {
		if math.Abs(s-usual) < 0.1*usual && math.Abs(lags[i]-float64(reach)*usual) < 0.1*usual {
			sum += s
			even++
		}
	}
	if float64(even) < leastEven*float64(len(steps)) {
		return 0, 0
	}
	return sum / float64(even), reach
}

// repeats finds every how many frames one is repeated, and which: all samples that reach
// back over it were mended. The longest cadence is the film's: one of eight frames looks
// like one of four too. One of twenty-four looks like one of twelve, but half of the
// cycles lack the repeat.
func (c *Cadence) repeats(m *Motion, energy []float64, mended int) bool {
	for every := mostCadence; every >= leastCadence; every-- {
		count, moving := make([]int, every), make([]int, every) // mended; and of all, those in which enough moves
		for i, d := range m.Doubled {
			p := c.frame(m, i) % every
			if d {
				count[p]++
			}
			if d || energy[i] >= leastMoving {
				moving[p]++
			}
		}
		for p := range count {
			loyal, cycles := 0, 0
			for k := range c.reach {
				loyal += count[(p+k)%every]
				cycles += moving[(p+k)%every]
			}
			if float64(loyal) >= leastLoyal*float64(mended) && float64(loyal) >= leastKept*float64(cycles) {
				c.Every, c.Repeats = every, p
				return true
			}
		}
	}
	return false
}

// over reports whether sample i reaches back over the step to the frames whose index is
// first, modulo Every.
func (c Cadence) over(m *Motion, i, first int) bool {
	return ((c.frame(m, i)-first)%c.Every+c.Every)%c.Every < c.reach
}

// AsTaken returns the motion with its samples at the times when their pictures were
// taken, and the cadence that was taken out: what shows a frame twice is left out, and
// what reaches across a gap is as bright as the others. Without a cadence it is m
// itself.
func (m *Motion) AsTaken() (*Motion, Cadence) {
	c := m.Cadence()
	if c.Every == 0 {
		return m, c
	}
	out := *m
	out.Times, out.Shifts, out.Doubled, out.packed, out.ends = nil, nil, nil, nil, nil
	var cells []float32
	for i := range m.Len() {
		if c.over(m, i, c.Repeats) {
			continue
		}
		half := float64(m.Shifts[i].Lag) / 2 / m.SlowFactor()
		at := m.Times[i] / m.SlowFactor()
		then, now := c.Taken(at-half), c.Taken(at+half)
		cells = m.Cells(i, cells)
		shift := m.Shifts[i]
		if c.over(m, i, c.Skips) {
			shift.Lag = float32((now - then) * m.SlowFactor())
			dim := float32(math.Sqrt(1 / c.further())) // a cell is the square root of an energy
			for k := range cells {
				cells[k] *= dim
			}
		}
		out.Times = append(out.Times, (then+now)/2*m.SlowFactor())
		out.Shifts = append(out.Shifts, shift)
		out.Doubled = append(out.Doubled, m.Doubled[i])
		out.packed = pack(out.packed, cells)
		out.ends = append(out.ends, len(out.packed))
	}
	return &out, c
}

// frame returns the number of the later of sample i's two frames.
func (c Cadence) frame(m *Motion, i int) int {
	return c.Index((m.Times[i] + float64(m.Shifts[i].Lag)/2) / m.SlowFactor())
}

// SlowFactor returns how many times slower than life the film plays: 1 while nothing says so.
func (m *Motion) SlowFactor() float64 {
	if m.Slow > 0 {
		return m.Slow
	}
	return 1
}

// further is how many times as much moves across a gap as over as many frames without.
func (c Cadence) further() float64 { return float64(c.reach+1) / float64(c.reach) }

// gap finds where the cadence leaves a frame out: in all samples that reach back over it
// more moves than in the others. Beside the repeat only some of them tell. known is false
// where what moves fits no gap nor none, or more than one, or where nothing is known of a
// place that a gap may be at.
func (c *Cadence) gap(m *Motion, energy []float64) (found, known bool) {
	if c.Every <= 2*c.reach {
		return false, false
	}
	beyond := c.beyondUsual(m, energy)
	least, known := leastGap*math.Log(c.further()), true
	for first := range c.Every {
		if first == c.Repeats { // the frame before is shown again: none is left out
			continue
		}
		inside, outside := math.Inf(1), math.Inf(-1) // the least and the greatest that is known
		for k := range c.Every {
			v := beyond[(first+k)%c.Every]
			switch {
			case math.IsNaN(v):
			case k < c.reach:
				inside = min(inside, v)
			default:
				outside = max(outside, v)
			}
		}
		switch {
		case math.IsInf(inside, 1):
			known = false
		case inside > least && inside > 2*outside:
			if found {
				return false, false
			}
			found, c.Skips = true, first
		}
	}
	if found {
		return true, true
	}
	for _, v := range beyond {
		known = known && !(v > least)
	}
	return false, known
}

// beyondUsual returns by how much more moves, as the logarithm of an energy, in the samples
// that end at each frame of the cadence than in those about them; NaN for those of a repeat,
// and of which nothing is known.
func (c *Cadence) beyondUsual(m *Motion, energy []float64) []float64 {
	sum, n := make([]float64, c.Every), make([]float64, c.Every)
	reach := 2 * c.reach
	for i := reach; i+reach < len(energy); i++ {
		around, others := 0.0, 0
		for k := i - reach; k <= i+reach; k++ {
			if k != i && !m.Doubled[k] && energy[k] > 0 {
				around += math.Log(energy[k])
				others++
			}
		}
		if m.Doubled[i] || others < min(3, c.Every-2) || energy[i] < leastMoving || c.over(m, i, c.Repeats) {
			continue
		}
		p := c.frame(m, i) % c.Every
		sum[p] += math.Log(energy[i]) - around/float64(others)
		n[p]++
	}
	for p := range sum {
		sum[p] /= n[p]
	}
	return sum
}
