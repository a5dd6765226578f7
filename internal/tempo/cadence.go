package tempo

import (
	"math"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/trace"
)

// cadence is a film's cadence as its motion samples see it.
type cadence struct {
	bullpen.Cadence
	// regular is true of a film whose frames are repeated in step or not at all: what
	// lies between two repeats is then known to be whole.
	regular bool
}

const (
	leastRepeats = 12   // repeated frames from which on a cadence is looked for
	mostCadence  = 12   // frames
	leastLoyal   = 0.75 // share of the repeated frames that keep to the cadence
	leastGap     = 0.30 // log of the energy across the gap against that of the other steps
	leastMoving  = 400  // energy from which on a sample tells of a gap
)

// CadenceOf looks for a cadence in a film's motion, see Transfer.
func CadenceOf(m *trace.Motion) bullpen.Cadence { return cadenceOf(m).Cadence }

// cadenceOf looks for a cadence in a film whose samples reach from each frame to the
// next: it has none where frames are repeated now and then, or where only repeats
// stretch the film, which the whole delivery's stretch sees.
func cadenceOf(m *trace.Motion) cadence {
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
		return cadence{regular: true}
	}
	if repeated < leastRepeats || next < len(lags)*9/10 {
		return cadence{}
	}
	slices.Sort(lags)
	middle := lags[len(lags)/2]
	if middle <= 0 || lags[len(lags)/10] < 0.9*middle || lags[len(lags)*9/10] > 1.1*middle {
		return cadence{}
	}
	c := cadence{Cadence: bullpen.Cadence{Step: middle / slowOf(m)}}
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
		return cadence{}
	case !c.gap(m):
		return cadence{regular: true}
	}
	c.regular = true
	return c
}

// frame returns the number of the later of sample i's two frames.
func (c cadence) frame(m *trace.Motion, i int) int {
	return c.Index((m.Times[i] + float64(m.Shifts[i].Lag)/2) / slowOf(m))
}

// repeated says that sample i shows a frame twice.
func (c cadence) repeated(m *trace.Motion, i int) bool {
	return c.Every > 0 && c.frame(m, i)%c.Every == c.Repeats
}

// taken returns the real second in the middle of the pictures of sample i.
func (c cadence) taken(m *trace.Motion, i int) float64 {
	at := m.Times[i] / slowOf(m)
	half := float64(m.Shifts[i].Lag) / 2 / slowOf(m)
	return at - (c.Late(at-half)+c.Late(at+half))/2
}

// dim makes up for the gap that sample i may lie across: twice the movement shows twice
// the energy there.
func (c cadence) dim(m *trace.Motion, i int, cells []float32) {
	if c.Every == 0 || c.frame(m, i)%c.Every != c.Skips {
		return
	}
	for k := range cells {
		cells[k] *= math.Sqrt2 / 2 // the square root of an energy
	}
}

// slowOf returns how many times slower than life the film plays.
func slowOf(m *trace.Motion) float64 {
	if m.Slow > 0 {
		return m.Slow
	}
	return 1
}

// gap finds where the cadence leaves a frame out: across it more moves than from the
// other frames to the next.
func (c *cadence) gap(m *trace.Motion) bool {
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
