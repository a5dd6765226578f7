package motion

import "math"

// The measures of a body of one metre sixty-five, in metres. Ours, by eye.
const (
	hipHalf      = 0.095
	thigh        = 0.42
	shin         = 0.41
	ankleUp      = 0.08 // ankle above the sole
	heelBack     = 0.07
	toeFront     = 0.17
	trunk        = 0.46 // pelvis to between the shoulders
	shoulderHalf = 0.165
	neck         = 0.225 // between the shoulders to the middle of the head
	upperArm     = 0.275
	foreArm      = 0.245
	grip         = 0.085 // wrist to the middle of the ball
	lowerArm     = foreArm + grip
	standing     = 0.90 // pelvis above the ground
)

// Joints are the points of a body at one instant. Pairs are left, right.
type Joints struct {
	Pelvis, Chest, Neck, Head Vec
	Face, Crown               Vec // directions: where the face looks, and up out of the head
	Front                     Vec // direction the chest faces
	Hip, Knee, Ankle          [2]Vec
	Heel, Toe                 [2]Vec
	Shoulder, Elbow, Wrist    [2]Vec
	Grip                      [2]Vec // where a ball lies in the hand
}

// place puts a body somewhere: turned by yaw, then moved.
type place struct {
	at     Vec
	yaw    float64
	mirror bool // left and right exchanged, before turning
	size   float64
}

func (p place) point(v Vec) Vec { return p.direction(v).Mul(p.size).Add(p.at) }

func (p place) direction(v Vec) Vec {
	if p.mirror {
		v.Y = -v.Y
	}
	s, c := math.Sincos(p.yaw)
	return Vec{c*v.X - s*v.Y, s*v.X + c*v.Y, v.Z}
}

// local is the inverse of point.
func (p place) local(v Vec) Vec {
	v = v.Sub(p.at).Mul(1 / p.size)
	s, c := math.Sincos(-p.yaw)
	v = Vec{c*v.X - s*v.Y, s*v.X + c*v.Y, v.Z}
	if p.mirror {
		v.Y = -v.Y
	}
	return v
}

// joints solves a pose given by its channels' values.
func joints(v *[channels]float64) Joints {
	var j Joints
	j.Pelvis = Vec{v[pelvisX], v[pelvisY], v[pelvisZ]}
	up := Vec{math.Sin(v[leanX]), math.Sin(v[leanY]), 0}
	up.Z = math.Sqrt(max(0, 1-up.X*up.X-up.Y*up.Y))
	j.Chest = j.Pelvis.Add(up.Mul(trunk))

	toLeft := func(yaw float64) Vec { return level(yaw + math.Pi/2) }
	shoulderYaw := v[heading] + v[twist]
	across := toLeft(shoulderYaw)
	across = across.Sub(up.Mul(0.7 * across.Dot(up))).Unit() // shoulders tilt with the trunk, though not wholly
	j.Front = across.Cross(up).Unit()
	j.Neck = j.Chest.Add(up.Mul(0.06))
	headUp := up.Add(Vec{0, 0, 1.6}).Unit()
	face := level(v[gaze])
	j.Face = face.Mul(math.Cos(v[nod])).Add(Vec{0, 0, -math.Sin(v[nod])})
	j.Crown = headUp.Add(face.Mul(math.Sin(v[nod]))).Unit()
	j.Head = j.Chest.Add(headUp.Mul(neck)).Add(j.Face.Mul(0.02))

	for s := left; s <= right; s++ {
		out := 1.0
		if s == right {
			out = -1
		}
		j.Hip[s] = j.Pelvis.Add(toLeft(v[heading]).Mul(out * hipHalf))
		j.leg(s, v)

		swing, flex := v[arm(s, armSwing)], v[arm(s, armFlex)]
		raise := 0.045 * (1 - math.Cos(swing)) / 2 // the shoulder rises with the arm
		j.Shoulder[s] = j.Chest.Add(across.Mul(out * shoulderHalf)).Add(Vec{0, 0, raise - 0.02})
		plane := level(v[arm(s, armYaw)])
		toward := func(a float64) Vec {
			sn, cs := math.Sincos(a)
			return Vec{plane.X * sn, plane.Y * sn, -cs}
		}
		ahead := math.Atan2(lowerArm*math.Sin(flex), upperArm+lowerArm*math.Cos(flex))
		j.Elbow[s] = j.Shoulder[s].Add(toward(swing - ahead).Mul(upperArm))
		fore := toward(swing - ahead + flex)
		j.Wrist[s] = j.Elbow[s].Add(fore.Mul(foreArm))
		j.Grip[s] = j.Elbow[s].Add(fore.Mul(lowerArm))
	}
	return j
}

// leg bends a leg so that its foot stands where the channels say. A foot out of
// reach is pulled in towards the hip.
func (j *Joints) leg(s side, v *[channels]float64) {
	yaw, pitch := v[foot(s, footYaw)], v[foot(s, footPitch)]
	ahead := level(yaw)
	// A foot with its heel up turns about the ball of the foot.
	sn, cs := math.Sincos(pitch)
	ball := Vec{v[foot(s, footX)], v[foot(s, footY)], v[foot(s, footZ)]}.Add(ahead.Mul(toeFront - 0.05))
	back := ahead.Mul(-cs).Add(Vec{0, 0, sn})
	sole := ahead.Mul(sn).Add(Vec{0, 0, cs})
	ankle := ball.Add(back.Mul(toeFront - 0.05)).Add(sole.Mul(ankleUp))

	hip := j.Hip[s]
	reach := ankle.Sub(hip)
	d := reach.Len()
	if most := (thigh + shin) * 0.998; d > most {
		pull := reach.Mul(most/d - 1)
		ankle, ball = ankle.Add(pull), ball.Add(pull)
		reach, d = ankle.Sub(hip), most
	}
	along := (thigh*thigh - shin*shin + d*d) / (2 * d)
	bend := math.Sqrt(max(0, thigh*thigh-along*along))
	unit := reach.Mul(1 / d)
	forward := level(v[heading]).Mul(1.1).Add(ahead)
	forward = forward.Sub(unit.Mul(forward.Dot(unit))).Unit()
	j.Knee[s] = hip.Add(unit.Mul(along)).Add(forward.Mul(bend))
	j.Ankle[s] = ankle
	j.Heel[s] = ball.Add(back.Mul(toeFront - 0.05 + heelBack)).Add(sole.Mul(0.035))
	j.Toe[s] = ball.Add(back.Mul(-0.035)).Add(sole.Mul(0.03))
	if pitch > 0.3 { // toes bend on the ground
		j.Toe[s] = ball.Add(ahead.Mul(0.035)).Add(Vec{0, 0, 0.03})
	}
}

// reach returns the arm channels that bring a hand from shoulder to target, as
// near as the arm allows.
func reach(shoulder, target Vec) (swing, yaw, flex float64) {
	to := target.Sub(shoulder)
	d := min(max(to.Len(), 0.12), (upperArm+lowerArm)*0.999)
	c := (d*d - upperArm*upperArm - lowerArm*lowerArm) / (2 * upperArm * lowerArm)
	flex = math.Acos(min(max(c, -1), 1))
	yaw = math.Atan2(to.Y, to.X)
	swing = math.Atan2(math.Hypot(to.X, to.Y), -to.Z)
	return swing, yaw, flex
}
