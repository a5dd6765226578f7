package posture

import "math"

// lowPass smooths samples taken at rate a second with a Butterworth filter of second
// order that is run forwards and backwards, so that nothing is delayed; at cutoff, in
// Hz, half the power is left. Each run's own cutoff is corrected for there being two:
// C = (2^(1/2) - 1)^(1/4) (Winter, Biomechanics and Motor Control of Human Movement, 4th
// edition, chapter 3). The ends are continued by odd reflection. A cutoff is never above
// 0.4 of the rate.
func lowPass(x []float64, rate, cutoff float64) []float64 {
	if len(x) < 3 {
		return append([]float64(nil), x...)
	}
	w := math.Tan(math.Pi*min(cutoff/rate, mostCutoff)) / math.Pow(math.Sqrt2-1, 0.25)
	k1, k2 := math.Sqrt2*w, w*w
	a0 := k2 / (1 + k1 + k2)
	b1, b2 := 2*a0*(1/k2-1), 1-(4*a0+2*a0*(1/k2-1))
	pad := min(len(x)-1, int(3*rate/cutoff))
	y := make([]float64, 0, len(x)+2*pad)
	for i := pad; i > 0; i-- {
		y = append(y, 2*x[0]-x[i])
	}
	y = append(y, x...)
	for i := 1; i <= pad; i++ {
		y = append(y, 2*x[len(x)-1]-x[len(x)-1-i])
	}
	run := func(y []float64) {
		// It begins as if the first value had been there for ever.
		x1, x2, y1, y2 := y[0], y[0], y[0], y[0]
		for i, v := range y {
			out := a0*(v+2*x1+x2) + b1*y1 + b2*y2
			x2, x1, y2, y1 = x1, v, y1, out
			y[i] = out
		}
	}
	reverse := func(y []float64) {
		for i, j := 0, len(y)-1; i < j; i, j = i+1, j-1 {
			y[i], y[j] = y[j], y[i]
		}
	}
	run(y)
	reverse(y)
	run(y)
	reverse(y)
	return y[pad : pad+len(x)]
}

// mostCutoff is the highest cutoff, as a share of the rate.
const mostCutoff = 0.4

// cutoffs are how quickly joints move, Hz: working values that keep the ankle's landing
// and the arm's circle and take the finder's unrest off. Studies of windmill pitching
// from 60 Hz film used 6 Hz throughout (Oliver, Dwelly & Kwon 2010, J. Strength Cond.
// Res. 24(9)).
func cutoff(j Joint) float64 {
	switch j {
	case LeftElbow, RightElbow, LeftWrist, RightWrist:
		return 14
	case LeftAnkle, RightAnkle:
		return 12
	}
	return 8
}
