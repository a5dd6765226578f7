package joints

import (
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
)

// looker finds the joints of the body that a square of a picture is about.
type looker interface {
	look(p Picture, where square) (found, error)
}

func (t *thunder) look(p Picture, where square) (found, error) {
	where.into(p, t.picture.GetData())
	return t.run()
}

// Working values of following one body from frame to frame.
const (
	// A joint that the model is less sure of is not one to go by.
	leastSure = 0.2
	// The body is there if shoulders and hips are at least so sure on average.
	leastBody = 0.3
	// The square is so many times as wide as the body's joints are apart: the head and
	// the hands reach beyond them, and the next frame beyond this one.
	roomy = 1.5
	// The square shrinks by this share a frame at most: an arm that swings past the body
	// is out again a few frames later.
	shrinks = 0.03
	// Between two frames the hips move by less than this many torso lengths; a body that
	// is further away is somebody else's.
	farthest = 0.75
	// After so many frames without her she is looked for as at the start.
	patience = 4
)

// follower follows one body through a run of frames.
type follower struct {
	with  looker
	begin square // where she is looked for first, and again when she is lost

	near  square // where she is looked for now
	hips  [2]float64
	torso float64 // pixels; 0 while nothing is known
	lost  int
}

func follow(with looker, begin square) *follower {
	return &follower{with: with, begin: begin, near: begin}
}

// next finds her in the next frame: joints in pixels of p. What is not hers is not seen.
func (f *follower) next(p Picture) (found, square, error) {
	looks := 1
	if f.torso == 0 {
		looks = 2 // the first look shows where to look
	}
	var body found
	where := f.near
	for range looks {
		where = f.near
		seen, err := f.with.look(p, where)
		if err != nil {
			return found{}, where, err
		}
		for j, s := range seen {
			body[j].x = where.x + (s.x-0.5)*where.side
			body[j].y = where.y + (s.y-0.5)*where.side
			body[j].sure = s.sure
		}
		if !f.hers(body) {
			f.lost++
			if f.lost >= patience {
				f.near, f.torso, f.lost = f.begin, 0, 0
			}
			return found{}, where, nil
		}
		f.take(body)
	}
	return body, where, nil
}

// trunk returns the middle of the hips and of the shoulders and how sure they are.
func (b found) trunk() (hips, shoulders [2]float64, sure float64) {
	middle := func(l, r posture.Joint) [2]float64 {
		return [2]float64{(b[l].x + b[r].x) / 2, (b[l].y + b[r].y) / 2}
	}
	for _, j := range []posture.Joint{posture.LeftHip, posture.RightHip, posture.LeftShoulder, posture.RightShoulder} {
		sure += b[j].sure / 4
	}
	return middle(posture.LeftHip, posture.RightHip), middle(posture.LeftShoulder, posture.RightShoulder), sure
}

// hers reports whether a body is there, and where she was.
func (f *follower) hers(b found) bool {
	hips, _, sure := b.trunk()
	if sure < leastBody {
		return false
	}
	return f.torso == 0 || math.Hypot(hips[0]-f.hips[0], hips[1]-f.hips[1]) < farthest*f.torso*float64(1+f.lost)
}

// take goes on from where a body is.
func (f *follower) take(b found) {
	hips, shoulders, _ := b.trunk()
	f.hips, f.lost = hips, 0
	f.torso = max(math.Hypot(hips[0]-shoulders[0], hips[1]-shoulders[1]), 1)
	left, top, right, bottom := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, j := range b {
		if j.sure < leastSure {
			continue
		}
		left, right = min(left, j.x), max(right, j.x)
		top, bottom = min(top, j.y), max(bottom, j.y)
	}
	f.near = square{
		x: (left + right) / 2, y: (top + bottom) / 2,
		side: max(roomy*max(right-left, bottom-top), (1-shrinks)*f.near.side*floorOnce(f.begin, f.near)),
	}
}

// floorOnce lets go of the square that was begun with: it may have been the whole
// picture.
func floorOnce(begin, near square) float64 {
	if begin == near {
		return 0
	}
	return 1
}

// pose is a body as it is kept: in heights of the film's picture. part is where the
// pixels lie in it and scale how many of the picture's heights one of them is.
func (b found) pose(frame int, seconds float64, where square, left, top, scale, aspect float64) posture.Pose {
	p := posture.Pose{Frame: frame, Seconds: seconds}
	for j, at := range b {
		if at.sure > 0 {
			p.Points[j] = posture.Point{X: left + at.x*scale, Y: top + at.y*scale, Sure: min(at.sure, 1)}
		}
	}
	p.Box = bullpen.Box{
		X: (left + (where.x-where.side/2)*scale) / aspect, Y: top + (where.y-where.side/2)*scale,
		Width: where.side * scale / aspect, Height: where.side * scale,
	}
	return p
}
