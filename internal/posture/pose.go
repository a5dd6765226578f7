package posture

import "tenoff/internal/bullpen"

// Joint is one of the places on a body that are looked for.
type Joint int

// The joints, in the order of the COCO keypoints, which pose models share (Lin et al.
// 2014, Microsoft COCO, arXiv:1405.0312). Left and right are hers, not the picture's.
const (
	Nose Joint = iota
	LeftEye
	RightEye
	LeftEar
	RightEar
	LeftShoulder
	RightShoulder
	LeftElbow
	RightElbow
	LeftWrist
	RightWrist
	LeftHip
	RightHip
	LeftKnee
	RightKnee
	LeftAnkle
	RightAnkle
	Joints int = iota // how many there are
)

// Other returns the same joint of the other side of the body; the nose is its own.
func (j Joint) Other() Joint {
	if j == Nose {
		return Nose
	}
	return ((j - 1) ^ 1) + 1
}

// Point is where a joint is in the picture. X and Y are in picture heights from the top
// left corner, both: a length is the same whichever way it points. They may lie outside
// the picture.
type Point struct {
	X, Y float64
	// Sure is how sure its finder is that the joint is there, 0 to 1; 0 is "not seen".
	Sure float64
}

// Seen reports whether the finder claims to see the joint at all.
func (p Point) Seen() bool { return p.Sure > 0 }

// Pose is where her joints are in one frame.
type Pose struct {
	Frame   int     // index on the film's clock
	Seconds float64 // real seconds from the film's first frame to this one
	Points  [Joints]Point
	Box     bullpen.Box // the part of the picture that was looked at
}

// Track is the poses around one delivery, by rising frame. Frames may be missing: a
// frame that repeats the one before it is left out.
type Track []Pose

// Rate returns how many frames a second a track's film has, of at least two poses.
func (t Track) Rate() float64 {
	first, last := t[0], t[len(t)-1]
	return float64(last.Frame-first.Frame) / (last.Seconds - first.Seconds)
}
