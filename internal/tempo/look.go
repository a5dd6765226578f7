package tempo

import "math"

// leastLooks is how many reps of each side must be marked by hand before the marks
// say how far what was found may be off.
const leastLooks = 3

// looks are what a person saw of times that were found too: of each side how far apart
// the two are, log units. How she and the marked fastball place an instant is in both
// sides; what is left between them is how far another posture moves what is found.
type looks struct {
	n, sum, squares [2]float64 // fastballs, off-speed reps
	u2              float64    // of all looks
}

func (l *looks) add(fast bool, t timed) {
	if t.lookU == 0 {
		return
	}
	side := 1
	if fast {
		side = 0
	}
	l.n[side]++
	l.sum[side] += t.look
	l.squares[side] += t.look * t.look
	l.u2 += t.lookU * t.lookU
}

// apart returns how far what was found may be off on the off-speed reps against the
// fastballs, by the marks: the difference of the means and twice its standard
// uncertainty. It is infinite for too few marks.
func (l *looks) apart() float64 {
	if l.n[0] < leastLooks || l.n[1] < leastLooks {
		return math.Inf(1)
	}
	u2 := l.u2 / (l.n[0] + l.n[1])
	var mean [2]float64
	var se2 float64
	for side, n := range l.n {
		mean[side] = l.sum[side] / n
		// Marks that happen to agree are no better than marks are.
		se2 += math.Max((l.squares[side]-n*mean[side]*mean[side])/(n-1), u2) / n
	}
	return math.Abs(mean[1]-mean[0]) + 2*math.Sqrt(se2)
}

// byEye returns the standard uncertainty of one time marked by hand, log units, where
// the same eye marks more of them as finely as so far.
func (s *sides) byEye(eye float64) float64 {
	if n := s.looks.n[0] + s.looks.n[1]; n > 0 {
		return math.Sqrt(s.looks.u2 / n)
	}
	mean := 0.0
	for _, t := range s.fast {
		mean += t / float64(len(s.fast))
	}
	if mean == 0 {
		return math.Inf(1)
	}
	u := MarkUncertainty(unknownGap, eye)
	return DurationUncertainty(u, u) / mean
}
