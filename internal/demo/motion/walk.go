package motion

import "math"

// stance is where both feet stand.
type stance struct{ left, right Vec }

// rubber is how she stands before a pitch.
func rubber(place Vec) stance {
	return stance{left: Vec{-.34, .11, 0}.Add(place), right: Vec{-.05, -.10, 0}.Add(place)}
}

// walk takes the body from one stance to another in the time from..to, facing
// yaw, in steps of about two thirds of a metre.
func (s *script) walk(from, to float64, a, b stance, yaw float64) {
	way := b.left.Lerp(b.right, .5).Sub(a.left.Lerp(a.right, .5))
	steps := max(2, int(math.Ceil(way.Len()/0.62)))
	dt := (to - from) / float64(steps)
	at := [2]Vec{a.left, a.right}
	goal := [2]Vec{b.left, b.right}
	begin := at
	backwards := way.Dot(level(yaw)) < 0
	for k := range steps {
		f := side((k + 1) % 2)
		t0, t1 := from+float64(k)*dt, from+float64(k+1)*dt
		share := min(1, (float64(k)+1.5)/float64(steps))
		if k >= steps-2 {
			share = 1
		}
		next := begin[f].Lerp(goal[f], share)
		lift, heel := .09, 38*degree
		if backwards {
			lift, heel = .05, 16*degree
		}
		mid := at[f].Lerp(next, .5)
		s.put(f, t0, at[f], yaw, 4*degree)
		s.put(f, (t0+t1)/2, mid.Add(Vec{0, 0, lift}), yaw, heel)
		s.put(f, t1, next, yaw, 0)
		at[f] = next
		middle := at[left].Lerp(at[right], .5)
		s.set(pelvisX, t1, middle.X)
		s.set(pelvisY, t1, middle.Y)
		s.set(pelvisZ, (t0+t1)/2, .885)
		s.set(pelvisZ, t1, .865)
		other := 1 - f
		s.hand(t1, f, yaw, Vec{-.10, -.05, -.54})
		s.hand(t1, other, yaw, Vec{.20, -.03, -.50})
	}
}

// put stands (or holds) a foot somewhere.
func (s *script) put(f side, at float64, p Vec, yaw, pitch float64) {
	s.set(foot(f, footX), at, p.X)
	s.set(foot(f, footY), at, p.Y)
	s.set(foot(f, footZ), at, p.Z)
	s.set(foot(f, footYaw), at, yaw)
	s.set(foot(f, footPitch), at, pitch)
}

// upright sets the trunk's channels to somebody who stands and looks along yaw.
func (s *script) upright(at, yaw, lean float64) {
	d := level(yaw).Mul(lean)
	s.set(leanX, at, d.X)
	s.set(leanY, at, d.Y)
	s.set(heading, at, yaw)
	s.set(twist, at, 0)
	s.set(gaze, at, yaw)
	s.set(nod, at, 4*degree)
}
