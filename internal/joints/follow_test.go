package joints

import (
	"math"
	"testing"

	"tenoff/internal/posture"
)

// bodyAt is a body of a hundred pixels whose hips are at x, y.
func bodyAt(x, y, sure float64) found {
	var b found
	for j := range b {
		b[j].x, b[j].y, b[j].sure = x, y-50, sure
	}
	for _, j := range []posture.Joint{posture.LeftHip, posture.RightHip} {
		b[j].y = y
	}
	for _, j := range []posture.Joint{posture.LeftAnkle, posture.RightAnkle} {
		b[j].y = y + 50
	}
	return b
}

// scene is what a model would find: the bodies of each frame, of which it takes the one
// nearest to the middle of where it looks.
type scene struct {
	bodies []found // pixels
	looked []square
}

func (s *scene) look(_ Picture, where square) (found, error) {
	s.looked = append(s.looked, where)
	var out found
	best := math.Inf(1)
	for _, b := range s.bodies {
		hips, _, _ := b.trunk()
		if d := math.Hypot(hips[0]-where.x, hips[1]-where.y); d < best && d < where.side/2 {
			best = d
			for j, at := range b {
				out[j].x, out[j].y, out[j].sure = (at.x-where.x)/where.side+0.5, (at.y-where.y)/where.side+0.5, at.sure
			}
		}
	}
	return out, nil
}

// She is followed as she strides, and somebody who walks through the picture is not taken
// for her.
func TestFollowsHer(t *testing.T) {
	s := &scene{}
	f := follow(s, square{x: 200, y: 200, side: 300})
	for frame := range 60 {
		her := bodyAt(150+2*float64(frame), 200, 0.8)
		walker := bodyAt(400-5*float64(frame), 205, 0.9)
		s.bodies = []found{her, walker}
		if frame >= 20 && frame < 22 { // she is behind something for two frames
			s.bodies = []found{walker}
		}
		body, _, err := f.next(Picture{})
		if err != nil {
			t.Fatal(err)
		}
		hips, _, sure := body.trunk()
		if sure == 0 {
			if frame < 20 || frame > 22 {
				t.Errorf("frame %d: she is not seen", frame)
			}
			continue
		}
		if want, _, _ := her.trunk(); math.Hypot(hips[0]-want[0], hips[1]-want[1]) > 1 && math.Abs(want[0]-(400-5*float64(frame))) > 50 {
			t.Errorf("frame %d: hips at %.0f, hers are at %.0f", frame, hips[0], want[0])
		}
	}
	if last := s.looked[len(s.looked)-1].side; last > 200 {
		t.Errorf("in the end %.0f pixels are looked at, for a body of a hundred", last)
	}
}

// A body that the model hardly believes in is not seen, and nothing of it is guessed.
func TestNotSeen(t *testing.T) {
	s := &scene{bodies: []found{bodyAt(200, 200, 0.1)}}
	f := follow(s, square{x: 200, y: 200, side: 300})
	for range 10 {
		body, _, err := f.next(Picture{})
		if err != nil {
			t.Fatal(err)
		}
		for j, at := range body {
			if at.sure != 0 {
				t.Fatalf("joint %d is seen at %v", j, at)
			}
		}
	}
}
