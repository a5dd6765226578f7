package tempo

import (
	"math"

	"tenoff/internal/trace"
)

// The stretch round a release that two reps' motion is laid over each other in, in
// real seconds from the release.
const (
	RoundFrom = -1.20
	RoundTo   = 0.40
	RoundStep = 1.0 / 60
)

// MotionAround returns how much moved in the film round a release (real seconds of the
// film), at even steps from RoundFrom to RoundTo: the square root of the motion
// energy, 1 for the greatest of them. It is empty for a film without motion.
func MotionAround(m *trace.Motion, release float64) []float32 {
	if m.Len() < 2 {
		return nil
	}
	slow := m.SlowFactor()
	n := int(math.Round((RoundTo-RoundFrom)/RoundStep)) + 1
	lo, hi := max(m.At((release+RoundFrom)*slow)-1, 0), min(m.At((release+RoundTo)*slow)+1, m.Len()-1)
	energy := make([]float64, hi-lo+1)
	var cells []float32
	for i := range energy {
		cells = m.Cells(lo+i, cells)
		var sum float64
		for _, v := range cells {
			sum += float64(v) * float64(v)
		}
		energy[i] = math.Sqrt(sum)
	}
	out := make([]float32, n)
	var most float32
	j := 0
	for k := range out {
		t := (release + RoundFrom + float64(k)*RoundStep) * slow
		for j+2 < len(energy) && m.Times[lo+j+1] < t {
			j++
		}
		if j+1 < len(energy) {
			from, to := m.Times[lo+j], m.Times[lo+j+1]
			a := min(max((t-from)/(to-from), 0), 1)
			out[k] = float32(energy[j]*(1-a) + energy[j+1]*a)
		}
		most = max(most, out[k])
	}
	if most > 0 {
		for k := range out {
			out[k] /= most
		}
	}
	return out
}
