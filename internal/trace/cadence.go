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
}

// Retimed is the share of repeated frames from which on a film is called re-timed: what
// is found on it still holds, but the phone's original would be better.
const Retimed = 0.02

const (
	leastRepeats = 12   // repeated frames from which on a cadence is looked for
	mostCadence  = 12   // frames
	leastLoyal   = 0.75 // share of the repeated frames that keep to the cadence
	leastGap     = 0.30 // log of the energy across the gap against that of the other steps
	leastMoving  = 400  // energy from which on a sample tells of a gap
)

// Cadence looks for a cadence in a film whose samples reach from each frame to the
// next: it has none where frames are repeated now and then, or where only repeats
// stretch the film, which the whole delivery's stretch sees.
func (m *Motion) Cadence() Cadence {
	repeated, next := 0, 0
	lags := make([]float64, m.Len())
	for i := range lags {
		lags[i] = float64(m.Shifts[i].Lag)
		if m.Doubled[i] {
			repeated++
		}
		if i > 0 && math.Abs(m.Times[i]-m.Times[i-1]-lags[i]) < 0.1*lags[i] {
			next++
		}
	}
	if float64(repeated) <= Retimed*float64(len(lags)) {
		return Cadence{Regular: true}
	}
	if repeated < leastRepeats || next < len(lags)*9/10 {
		return Cadence{}
	}
	slices.Sort(lags)
	middle := lags[len(lags)/2]
	if middle <= 0 || lags[len(lags)/10] < 0.9*middle || lags[len(lags)*9/10] > 1.1*middle {
		return Cadence{}
	}
	c := Cadence{Cadence: bullpen.Cadence{Step: middle / m.SlowFactor()}}
	for every := 4; every <= mostCadence; every++ {
		count := make([]int, every)
		for i, d := range m.Doubled {
			if d {
				count[c.frame(m, i)%every]++
			}
		}
		if most := slices.Max(count); float64(most) >= leastLoyal*float64(repeated) {
			c.Every, c.Repeats = every, slices.Index(count, most)
			break
		}
	}
	switch {
	case c.Every == 0:
		return Cadence{}
	case !c.gap(m):
		return Cadence{Regular: true}
	}
	c.Regular = true
	return c
}

// AsTaken returns the motion with its samples at the times when their pictures were
// taken, and the cadence that was taken out: what shows a frame twice is left out, and
// what reaches across a gap is as bright as a single step. Without a cadence it is m
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
		p := c.frame(m, i) % c.Every
		if p == c.Repeats {
			continue
		}
		half := float64(m.Shifts[i].Lag) / 2 / m.SlowFactor()
		at := m.Times[i] / m.SlowFactor()
		then, now := c.Taken(at-half), c.Taken(at+half)
		cells = m.Cells(i, cells)
		shift := m.Shifts[i]
		if p == c.Skips {
			shift.Lag = float32((now - then) * m.SlowFactor())
			for k := range cells { // twice the movement shows twice the energy
				cells[k] *= math.Sqrt2 / 2 // the square root of an energy
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

// gap finds where the cadence leaves a frame out: across it more moves than from the
// other frames to the next.
func (c *Cadence) gap(m *Motion) bool {
	energy := m.Energy()
	sum, n := make([]float64, c.Every), make([]float64, c.Every)
	for i := 2; i+2 < len(energy); i++ {
		around, others := 0.0, 0.0
		for _, k := range []int{i - 2, i - 1, i + 1, i + 2} {
			if !m.Doubled[k] && energy[k] > 0 {
				around += math.Log(energy[k])
				others++
			}
		}
		if m.Doubled[i] || others < min(3, float64(c.Every-2)) || energy[i] < leastMoving {
			continue
		}
		p := c.frame(m, i) % c.Every
		sum[p] += math.Log(energy[i]) - around/others
		n[p]++
	}
	best, second := math.Inf(-1), math.Inf(-1)
	for p := range sum {
		if p == c.Repeats || n[p] == 0 {
			continue
		}
		switch v := sum[p] / n[p]; {
		case v > best:
			best, second, c.Skips = v, best, p
		case v > second:
			second = v
		}
	}
	return best > leastGap && best > 2*second
}
