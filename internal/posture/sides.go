package posture

import "math"

// Costs of taking a frame's left for its right, in torso lengths (working values, found
// on rendered deliveries): a joint's jump counts up to farJump, so that one wild joint
// does not decide; each switch costs a little, and so does each switched frame.
const (
	farJump      = 0.6
	perSwitch    = 0.02
	perSwitching = 0.004
)

var (
	arms = []Joint{LeftShoulder, RightShoulder, LeftElbow, RightElbow, LeftWrist, RightWrist}
	legs = []Joint{LeftHip, RightHip, LeftKnee, RightKnee, LeftAnkle, RightAnkle}
)

// sides returns the track with left and right as a body keeps them, arms and legs apart:
// of all ways to switch them frame by frame, the one that moves the joints least (the
// Viterbi path; Viterbi 1967, IEEE Trans. Inf. Theory 13(2)). It begins unswitched. It
// returns how many frames were switched too.
func sides(t Track, torso float64) (Track, int) {
	out := make(Track, len(t))
	copy(out, t)
	switched := make([]bool, len(t))
	for _, limbs := range [][]Joint{arms, legs} {
		for i, s := range switches(t, limbs, torso) {
			if !s {
				continue
			}
			switched[i] = true
			for _, j := range limbs {
				out[i].Points[j] = t[i].Points[j.Other()]
			}
		}
	}
	n := 0
	for _, s := range switched {
		if s {
			n++
		}
	}
	return out, n
}

// switches says of each frame whether left and right of the limbs are to be switched.
func switches(t Track, limbs []Joint, torso float64) []bool {
	if len(t) == 0 {
		return nil
	}
	// cost[s] of the cheapest way to a frame that is switched or not; from[i][s] is what
	// the frame before is then.
	cost := [2]float64{0, math.Inf(1)}
	from := make([][2]int, len(t))
	for i := 1; i < len(t); i++ {
		var next [2]float64
		for s := range 2 {
			next[s] = math.Inf(1)
			for before := range 2 {
				c := cost[before] + jump(t[i-1], t[i], limbs, torso, before != s) + perSwitching*float64(s)
				if before != s {
					c += perSwitch
				}
				if c < next[s] {
					next[s], from[i][s] = c, before
				}
			}
		}
		cost = next
	}
	out := make([]bool, len(t))
	s := 0
	if cost[1] < cost[0] {
		s = 1
	}
	for i := len(t) - 1; i > 0; i-- {
		out[i] = s == 1
		s = from[i][s]
	}
	return out
}

// jump is the mean way of the limbs' joints between two frames, in torso lengths, each
// capped at farJump; crossed compares each joint with the other side's. What is not seen
// in both does not count.
func jump(a, b Pose, limbs []Joint, torso float64, crossed bool) float64 {
	sum, n := 0.0, 0
	for _, j := range limbs {
		k := j
		if crossed {
			k = j.Other()
		}
		if p, q := a.Points[j], b.Points[k]; p.Seen() && q.Seen() {
			sum += min(math.Hypot(p.X-q.X, p.Y-q.Y)/torso, farJump)
			n++
		}
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}
