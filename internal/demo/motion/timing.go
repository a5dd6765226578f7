package motion

import (
	"math"

	"gonum.org/v1/gonum/interp"
)

// The delivery in nominal time, seconds to release. Ours; the two that published
// figures bear on are Plant (0.10 to 0.17 s before release) and the circle's top.
const (
	nominalLoad  = -1.15 // the weight goes back
	nominalBack  = -0.78 // the hands are at their lowest
	nominalDrive = -0.56 // the drive leg pushes, the stride foot leaves
	nominalArm   = -0.50 // the arm starts its circle
	nominalPlant = -0.11 // the stride foot lands
	nominalEnd   = 0.95  // she stands again
)

const degree = math.Pi / 180

// The arm circle, from straight down: it starts behind her, goes forward and up,
// passes 12 o'clock at 180 degrees and lets go a little before the bottom.
const (
	circleStart   = -38 * degree
	circleRelease = 356 * degree
	// TopAngle is the arm's angle at 12 o'clock.
	TopAngle = 180 * degree
)

// Timing is when things happen in one delivery, in real seconds from release:
// all but Finish are negative, in the order written.
type Timing struct {
	Load, Back, Drive, Plant float64
	ArmStart                 float64
	// Power bends the arm's speed-up: its angle grows with the Power-th power of
	// time since ArmStart. 2 is constant angular acceleration.
	Power float64
	// Finish stretches what follows the release; 1 is nominal.
	Finish float64
}

// Nominal returns the timing that nobody's day changes.
func Nominal() Timing {
	return Timing{Load: nominalLoad, Back: nominalBack, Drive: nominalDrive, Plant: nominalPlant, ArmStart: nominalArm, Power: 2, Finish: 1}
}

// Top returns when the hand passes 12 o'clock, seconds from release.
func (t Timing) Top() float64 {
	u := math.Pow((TopAngle-circleStart)/(circleRelease-circleStart), 1/t.Power)
	return t.ArmStart * (1 - u)
}

// swing returns the arm's angle s seconds after release, s in [ArmStart, brake].
func (t Timing) swing(s, brake float64) float64 {
	whole := circleRelease - circleStart
	if s <= 0 {
		return circleStart + whole*math.Pow(1-s/t.ArmStart, t.Power)
	}
	w := min(s/brake, 1)
	return circleRelease + t.overshoot(brake)*(1-(1-w)*(1-w))
}

// overshoot returns the angle the arm still travels when it is braked evenly
// from its speed at release to rest.
func (t Timing) overshoot(brake float64) float64 {
	return t.Power * (circleRelease - circleStart) / -t.ArmStart * brake / 2
}

// clock turns nominal into real seconds.
type clock struct {
	body  interp.FritschButland
	arm   float64 // real per nominal second of the arm before release
	after float64 // and of everything after it
	start float64 // the release
}

func (t Timing) clock(release float64) (*clock, error) {
	c := &clock{arm: t.ArmStart / nominalArm, after: t.Finish, start: release}
	err := c.body.Fit(
		[]float64{nominalLoad - 1, nominalLoad, nominalBack, nominalDrive, nominalPlant, 0, nominalEnd},
		[]float64{t.Load - 1, t.Load, t.Back, t.Drive, t.Plant, 0, nominalEnd * t.Finish})
	return c, err
}

func (c *clock) bodyAt(tau float64) float64 { return c.start + c.body.Predict(tau) }

func (c *clock) armAt(tau float64) float64 {
	if tau < 0 {
		return c.start + tau*c.arm
	}
	return c.start + tau*c.after
}
