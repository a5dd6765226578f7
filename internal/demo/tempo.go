package demo

import (
	"math"
	"math/rand/v2"

	"tenoff/internal/demo/motion"
)

// How unlike each other reps are: standard deviations of one delivery against
// the next, chosen so that the time from drive to plant scatters by 3.5 %.
const (
	tempoScatter  = 0.02  // of the whole, log
	rockScatter   = 0.15  // of load and rock, log
	driveScatter  = 0.012 // s
	plantScatter  = 0.006 // s
	armScatter    = 0.008 // s, of the arm's start
	powerScatter  = 0.06
	strideScatter = 0.025
	leanScatter   = 2 * math.Pi / 180
	openScatter   = 0.05
	placeScatter  = 0.04 // m
)

// dice throws normal numbers, held within 2.5 standard deviations so that no
// delivery comes apart.
type dice struct {
	*rand.Rand
	jitter float64
}

func newDice(seed, stream uint64, jitter float64) dice {
	return dice{rand.New(rand.NewPCG(seed, stream)), jitter}
}

func (d dice) normal(sd float64) float64 {
	return sd * d.jitter * min(max(d.NormFloat64(), -2.5), 2.5)
}

func (d dice) between(a, b float64) float64 { return a + (b-a)*d.Float64() }

// timing returns when things happen in one rep. Every rep throws the same number
// of dice, whatever its tempo: a changed spec changes nothing else.
func (d dice) timing(r RepSpec) motion.Timing {
	n := motion.Nominal()
	q := math.Exp(d.normal(tempoScatter))
	rockA, rockB := math.Exp(d.normal(rockScatter)), math.Exp(d.normal(rockScatter))
	drive, plant, start := d.normal(driveScatter), d.normal(plantScatter), d.normal(armScatter)
	body, arm, wait := q, q, 0.0
	switch r.Tempo {
	case Body:
		body, arm = q*r.Stretch, q*r.Stretch
	case ArmEarly:
		arm = q * r.Stretch
	case ArmLate:
		arm = q * r.Stretch
		wait = n.ArmStart * q * (r.Stretch - 1) // the release comes that much later after the plant
	}
	t := motion.Timing{
		Drive:    n.Drive*body + wait + drive,
		Plant:    min(n.Plant*body+wait+plant, -0.03),
		ArmStart: n.ArmStart*arm + start,
		Power:    n.Power + d.normal(powerScatter),
		Finish:   body,
	}
	t.Back = t.Drive + (n.Back-n.Drive)*body*rockA
	t.Load = t.Back + (n.Load-n.Back)*body*rockB
	t.ArmStart = max(t.ArmStart, t.Back+0.03)
	return t
}

// style returns how one rep looks.
func (d dice) style(r RepSpec) motion.Style {
	s := motion.Style{
		Stride: 1 + d.normal(strideScatter),
		Lean:   d.normal(leanScatter),
		Open:   1 + d.normal(openScatter),
		Place:  motion.Vec{X: d.normal(placeScatter / 2), Y: d.normal(placeScatter)},
		Stiff:  r.Stiff,
	}
	s.Stride = min(s.Stride, 1.06)
	s.Stride *= 1 - 0.08*r.Posture
	s.Lean += r.Posture * 6 * math.Pi / 180
	s.Open *= 1 - 0.2*r.Posture
	return s
}
