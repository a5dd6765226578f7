package posture

import "math"

// Aspect is one thing about her body that can be followed all through a delivery, as one
// camera sees it.
type Aspect string

// The aspects. Heights and how far ahead are from the middle of her shoulders, forward
// towards the plate, so that a trunk that leans is not a glove that is held otherwise as
// well; lengths are in her own torso lengths, angles in degrees.
const (
	TrunkLean   Aspect = "trunk"      // forward from upright
	GloveHeight Aspect = "glove"      // of the glove's wrist
	GloveAhead  Aspect = "gloveAhead" // likewise
	HandHeight  Aspect = "hand"       // of the pitching wrist
	HandAhead   Aspect = "handAhead"  // likewise
	HipsWide    Aspect = "hips"       // how wide they look: wide while they are open
	ChestWide   Aspect = "chest"      // likewise, shoulder to shoulder
	FrontKneeAt Aspect = "frontKnee"  // 180 is straight
	BackKneeAt  Aspect = "backKnee"
	FeetApart   Aspect = "feet" // the front ankle ahead of the back one
)

// Aspects lists them.
func Aspects() []Aspect {
	return []Aspect{TrunkLean, GloveHeight, GloveAhead, HandHeight, HandAhead, HipsWide, ChestWide, FrontKneeAt, BackKneeAt, FeetApart}
}

// Noticeable is the least difference of an aspect that an eye can see, in its unit
// (working values).
func (a Aspect) Noticeable() float64 {
	switch a {
	case TrunkLean:
		return 3
	case FrontKneeAt, BackKneeAt:
		return 6
	case HipsWide, ChestWide, FeetApart:
		return 0.08
	}
	return 0.12
}

// Angle reports whether an aspect is in degrees; the others are in torso lengths.
func (a Aspect) Angle() bool { return a == TrunkLean || a == FrontKneeAt || a == BackKneeAt }

// Joints are the joints that an aspect is of, on a pitcher who throws with her right hand
// or her left.
func (a Aspect) Joints(right bool) []Joint {
	hand, front := RightWrist, LeftHip
	if !right {
		hand, front = LeftWrist, RightHip
	}
	switch a {
	case GloveHeight, GloveAhead:
		return []Joint{hand.Other()}
	case HandHeight, HandAhead:
		return []Joint{hand}
	case HipsWide:
		return []Joint{LeftHip, RightHip}
	case ChestWide:
		return []Joint{LeftShoulder, RightShoulder}
	case FrontKneeAt:
		return []Joint{front, front + 2, front + 4}
	case BackKneeAt:
		return []Joint{front.Other(), front.Other() + 2, front.Other() + 4}
	case FeetApart:
		return []Joint{front + 4, front.Other() + 4}
	}
	return []Joint{LeftShoulder, RightShoulder, LeftHip, RightHip}
}

// Aspect returns an aspect at a real second of the film, for a pitcher who throws with her
// right hand or her left; NaN where it is not seen.
func (b *Body) Aspect(a Aspect, seconds float64, right bool) float64 {
	of := a.Joints(right)
	shoulders := []Joint{LeftShoulder, RightShoulder}
	if !b.sees(seconds, jointSure, of...) || !b.sees(seconds, jointSure, shoulders...) {
		return math.NaN()
	}
	g := func(j Joint) place { return b.at(j, seconds) }
	l, r := g(LeftShoulder), g(RightShoulder)
	middle := place{(l.x + r.x) / 2, (l.y + r.y) / 2}
	switch a {
	case GloveHeight, HandHeight:
		return g(of[0]).y - middle.y
	case GloveAhead, HandAhead:
		return g(of[0]).x - middle.x
	case HipsWide, ChestWide:
		return math.Abs(g(of[0]).x - g(of[1]).x)
	case FrontKneeAt, BackKneeAt:
		return angle(g(of[0]), g(of[1]), g(of[2]))
	case FeetApart:
		return g(of[0]).x - g(of[1]).x
	}
	return lean(g)
}

// at returns where a joint is at a real second.
func (b *Body) at(j Joint, seconds float64) place {
	return place{b.between(b.joints[j].x, seconds), b.between(b.joints[j].y, seconds)}
}

// Spot is where a joint is from where she stood, in torso lengths forward and up.
type Spot struct {
	X, Y float64
	Seen bool
}

// MeanPose returns where her joints are on average of some deliveries: of body i at real
// second when[i], laid over the others by where it stood at real second stood[i], the
// middle of the hips across and the lower ankle in height. A joint that fewer than half of
// them show is not seen.
func MeanPose(bodies []*Body, when, stood []float64) (mean [Joints]Spot) {
	var n [Joints]int
	for i, b := range bodies {
		if !b.sees(stood[i], jointSure, LeftHip, RightHip) || !b.sees(stood[i], jointSure, LeftAnkle, RightAnkle) {
			continue
		}
		l, r := b.at(LeftHip, stood[i]), b.at(RightHip, stood[i])
		ground := min(b.at(LeftAnkle, stood[i]).y, b.at(RightAnkle, stood[i]).y)
		for j := range mean {
			if b.sees(when[i], jointSure, Joint(j)) {
				p := b.at(Joint(j), when[i])
				n[j]++
				mean[j].X += p.x - (l.x+r.x)/2
				mean[j].Y += p.y - ground
			}
		}
	}
	for j := range mean {
		if mean[j].Seen = n[j] > 0 && 2*n[j] >= len(bodies); mean[j].Seen {
			mean[j].X, mean[j].Y = mean[j].X/float64(n[j]), mean[j].Y/float64(n[j])
		} else {
			mean[j] = Spot{}
		}
	}
	return mean
}
