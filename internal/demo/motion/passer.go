package motion

import "math"

// NewPasser returns somebody who walks straight from a to b in the time from..to.
func NewPasser(a, b Vec, from, to float64) (*Actor, error) {
	var s script
	way := b.Sub(a)
	yaw := math.Atan2(way.Y, way.X)
	aside := level(yaw + math.Pi/2).Mul(.09)
	s.upright(from-1, yaw, 4*degree)
	start := stance{left: a.Add(aside), right: a.Sub(aside)}
	s.put(left, from-1, start.left, yaw, 0)
	s.put(right, from-1, start.right, yaw, 0)
	s.set(pelvisX, from-1, a.X)
	s.set(pelvisY, from-1, a.Y)
	s.set(pelvisZ, from-1, standing)
	s.walk(from, to, start, stance{left: b.Add(aside), right: b.Sub(aside)}, yaw)
	return newActor(&s, place{}, nil)
}
