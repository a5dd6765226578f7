package evidence

import "math"

// Scatter is how widely reps lie about the levels of their groups, against what was expected
// of them.
type Scatter struct {
	Levels  int     // groups with reps
	Free    float64 // reps less one for each level
	Squares float64 // sum of the squared residuals, each over its expected variance
	Least   float64 // the least squared ratio to what was expected that measuring makes
}

// ScatterOf returns how widely values lie about their mean, when their own standard deviation
// was expected to be spread, > 0, and measuring each adds the variance known, >= 0.
func ScatterOf(values []float64, spread, known float64) Scatter {
	if len(values) == 0 {
		return Scatter{}
	}
	expected := spread*spread + known
	var mean, squares float64
	for _, v := range values {
		mean += v / float64(len(values))
	}
	for _, v := range values {
		squares += (v - mean) * (v - mean)
	}
	return Scatter{Levels: 1, Free: float64(len(values) - 1), Squares: squares / expected, Least: known / expected}
}

// Beside returns how much wider these reps lie than was expected, as a ratio, when others were
// thrown beside them and what was expected of either is worth so many reps; and the degrees of
// freedom that this is known with. They are own and share + n - 1 of LineOf.
func (s Scatter) Beside(others Scatter, worth float64) (ratio, df float64) {
	known := worth + others.Free
	share := known
	if others.Levels > 0 {
		share = known * worth / (known + worth)
	}
	df = share + s.Free
	return math.Sqrt(max(s.Least, (share*(worth+others.Squares)/known+s.Squares)/df)), df
}

func (s Scatter) and(o Scatter) Scatter {
	return Scatter{s.Levels + o.Levels, s.Free + o.Free, s.Squares + o.Squares, max(s.Least, o.Least)}
}

// less takes a part out again; what measuring makes at least stays.
func (s Scatter) less(part Scatter) Scatter {
	return Scatter{s.Levels - part.Levels, s.Free - part.Free, s.Squares - part.Squares, s.Least}
}

// scatter is the group's about a slope; nothing for one without reps.
func (g group) scatter(slope float64) Scatter {
	if g.n == 0 {
		return Scatter{}
	}
	return Scatter{1, float64(g.n - 1), g.sums.about(slope), g.sums.least}
}
