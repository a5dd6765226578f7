package motion

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/interp"
)

// side picks a limb; the pitching arm is the right one, also of a left-hander,
// who is mirrored when her joints are computed.
type side int

const (
	left side = iota
	right
)

// channel is one number of a pose that changes with time.
type channel int

const (
	pelvisX channel = iota
	pelvisY
	pelvisZ
	heading // yaw of the pelvis
	twist   // of the shoulders against the pelvis
	leanX   // of the trunk towards the plate
	leanY   // of the trunk towards the left
	gaze    // yaw of the face
	nod     // down of the face
	feet    // first of the feet's channels, footWidth a side
)

const (
	footX channel = iota
	footY
	footZ     // of the sole above the ground
	footYaw   // of the toes
	footPitch // heel up
	footWidth
)

const (
	armSwing  channel = iota // angle of shoulder to hand from straight down, + to the front and up
	armYaw                   // yaw of the upright plane the arm lies in
	armFlex                  // of the elbow; negative where the hand trails on the way down
	armLength                // number of an arm's channels
)

const arms = feet + 2*footWidth
const channels = arms + 2*armLength

func foot(s side, c channel) channel { return feet + channel(s)*footWidth + c }
func arm(s side, c channel) channel  { return arms + channel(s)*armLength + c }

// key is a channel's value at a time.
type key struct{ at, value float64 }

// script collects keys, in any order; a later key at the same time wins.
type script struct {
	keys  [channels][]key
	turns [2]int // whole circles each arm has made so far
}

func (s *script) set(c channel, at, value float64) {
	s.keys[c] = append(s.keys[c], key{at, value})
}

// last returns the value of the key that is latest so far, 0 if there is none.
func (s *script) last(c channel) float64 {
	if len(s.keys[c]) == 0 {
		return 0
	}
	k := slices.MaxFunc(s.keys[c], func(a, b key) int { return cmp.Compare(a.at, b.at) })
	return k.value
}

// hold repeats the latest value of every channel in cs at a time, so that
// nothing moves before it.
func (s *script) hold(at float64, cs ...channel) {
	for _, c := range cs {
		s.set(c, at, s.last(c))
	}
}

// track is a channel through time.
type track struct {
	curve interp.FritschButland
	one   float64 // the value of a channel with a single key
	many  bool
}

func (t *track) at(s float64) float64 {
	if !t.many {
		return t.one
	}
	return t.curve.Predict(s)
}

// tracks closes the script. Monotone cubics (Fritsch and Butland 1984) neither
// overshoot a key nor move between two equal ones: a planted foot stays planted.
func (s *script) tracks() (*[channels]track, error) {
	var out [channels]track
	for c := range s.keys {
		keys := slices.Clone(s.keys[c])
		slices.SortStableFunc(keys, func(a, b key) int { return cmp.Compare(a.at, b.at) })
		var xs, ys []float64
		for _, k := range keys {
			if n := len(xs); n > 0 && k.at-xs[n-1] < 1e-6 {
				ys[n-1] = k.value
				continue
			}
			xs, ys = append(xs, k.at), append(ys, k.value)
		}
		switch len(xs) {
		case 0:
		case 1:
			out[c].one = ys[0]
		default:
			if err := out[c].curve.Fit(xs, ys); err != nil {
				return nil, err
			}
			out[c].many = true
		}
	}
	return &out, nil
}
