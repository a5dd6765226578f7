package motion

import "sort"

// Actor is somebody who moves.
type Actor struct {
	tracks  *[channels]track
	circles []circle
	place   place
}

// circle is one arm circle, in which the arm follows its own law.
type circle struct {
	from, release, to float64
	timing            Timing
	brake             float64
	base              float64 // radians of the circles before
}

func newActor(s *script, p place, circles []circle) (*Actor, error) {
	t, err := s.tracks()
	if err != nil {
		return nil, err
	}
	if p.size == 0 {
		p.size = 1
	}
	return &Actor{tracks: t, circles: circles, place: p}, nil
}

// pose returns the channels at a time.
func (a *Actor) pose(t float64) [channels]float64 {
	var v [channels]float64
	for c := range v {
		v[c] = a.tracks[c].at(t)
	}
	i := sort.Search(len(a.circles), func(i int) bool { return a.circles[i].to > t })
	if i < len(a.circles) && a.circles[i].from <= t {
		c := a.circles[i]
		v[arm(right, armSwing)] = c.base + c.timing.swing(t-c.release, c.brake)
	}
	return v
}

// Joints returns where the body's points are t seconds into the film. It may be
// called by several goroutines.
func (a *Actor) Joints(t float64) Joints {
	v := a.pose(t)
	j := joints(&v)
	a.place.move(&j)
	return j
}

// move takes joints from the body's own space into the world.
func (p place) move(j *Joints) {
	for _, v := range []*Vec{&j.Pelvis, &j.Chest, &j.Neck, &j.Head} {
		*v = p.point(*v)
	}
	for _, v := range []*Vec{&j.Face, &j.Crown, &j.Front} {
		*v = p.direction(*v)
	}
	for _, pair := range []*[2]Vec{&j.Hip, &j.Knee, &j.Ankle, &j.Heel, &j.Toe, &j.Shoulder, &j.Elbow, &j.Wrist, &j.Grip} {
		pair[0], pair[1] = p.point(pair[0]), p.point(pair[1])
	}
}
