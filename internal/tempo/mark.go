package tempo

import "math"

// EyeSpread is the standard deviation in seconds with which a person places an
// instant, before she has measured her own: 8 ms, an assumption.
const EyeSpread = 0.008

// MarkUncertainty returns the standard uncertainty in seconds of an instant that
// was marked by hand: the frame's rectangular blur and the eye's own spread,
//
//	u^2 = gap^2/12 + eye^2
//
// where gap is the time in seconds between the frames around the mark and eye
// the instructor's own standard deviation in seconds. Source of the first term:
// JCGM 100:2008 (GUM), F.2.2.1 (from memory).
func MarkUncertainty(gap, eye float64) float64 {
	return math.Sqrt(gap*gap/12 + eye*eye)
}

// DurationUncertainty returns the standard uncertainty in seconds of a time
// between two independently marked instants (GUM 5.1.2, from memory).
func DurationUncertainty(first, second float64) float64 { return math.Hypot(first, second) }

// RemarkSpread returns the instructor's own spread in seconds from instants that
// she marked twice without seeing the first mark: differences d_i = second - first
// in real seconds. The spread of one mark is sqrt(sum d^2 / 2n), from which the
// frame's own blur gap^2/12 is taken off; a repeat that always falls on the same
// frame leaves a floor of a quarter of a frame. It returns ok = false for fewer
// than five differences.
func RemarkSpread(differences []float64, gap float64) (eye float64, ok bool) {
	if len(differences) < 5 {
		return 0, false
	}
	var ss float64
	for _, d := range differences {
		ss += d * d
	}
	v := ss/float64(2*len(differences)) - gap*gap/12
	floor := gap / 4
	return math.Sqrt(math.Max(v, floor*floor)), true
}
