package trust

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"tenoff/internal/bullpen"
)

// fewestWeeks is how many bullpens a slope takes.
const fewestWeeks = 5

// Slope is how fast something changes over the weeks, with an interval that holds together
// with those of all the page's slopes: on 95 of 100 pages on which nothing changes, none of
// them leaves nothing out. See Together.
type Slope struct {
	PerWeek float64 `json:"perWeek"`
	Lo      float64 `json:"lo"`
	Hi      float64 `json:"hi"`
	N       int     `json:"n"` // bullpens it rests on

	u, df float64 // standard error of PerWeek, and its degrees of freedom
}

// series is something over days.
type series struct {
	x, y     []float64
	variance float64 // sum of the points' own variances
}

// add adds a bullpen's value with its own standard uncertainty, >= 0. One that is known
// within nothing, of so few readings that no standard uncertainty can be given, says
// nothing of the weeks and is left out.
func (s *series) add(day, y, u float64) {
	if math.IsInf(u, 0) || math.IsNaN(u) {
		return
	}
	s.x, s.y, s.variance = append(s.x, day), append(s.y, y), s.variance+u*u
}

// slope fits a straight line by least squares and says how sure its slope is, with a 95 %
// interval of its own; every bullpen counts the same. nil if there are fewer than five, or
// all on one day.
//
// Bullpens that follow each other are alike, so their errors are taken as those of an AR(1)
// process, and the slope's variance is that of least squares under one (Box, Jenkins and
// Reinsel, Time Series Analysis, section 2.1; Draper and Smith, Applied Regression
// Analysis, 3rd ed., section 7.1, both from memory). The errors are never taken as smaller
// than the bullpens' own uncertainty: three on a line are no proof.
func (s *series) slope() *Slope {
	l, ok := s.line()
	if !ok || len(s.x) < fewestWeeks {
		return nil
	}
	echo := l.echo()
	u, df := l.error(echo, s.variance/float64(len(s.x)))
	return (&Slope{PerWeek: 7 * l.perDay, N: len(s.x), u: 7 * u, df: df}).within(0.05)
}

// within returns the slope with the interval that leaves alpha out.
func (s *Slope) within(alpha float64) *Slope {
	half := bullpen.TQuantile(1-alpha/2, s.df) * s.u
	s.Lo, s.Hi = s.PerWeek-half, s.PerWeek+half
	return s
}

// line is a straight line through a series.
type line struct {
	perDay  float64
	days    []float64 // about their mean, so that no digit is lost
	rest    []float64 // what the line leaves of each value
	spread  float64   // sum of the squares of days
	squares float64   // and of rest
}

// line fits by least squares (NIST/SEMATECH e-Handbook, 4.4.3.1); ok is false for fewer
// than three, or all on one day.
func (s *series) line() (l line, ok bool) {
	n := len(s.x)
	if n < 3 {
		return l, false
	}
	mean := stat.Mean(s.x, nil)
	l.days, l.rest = make([]float64, n), make([]float64, n)
	for i, x := range s.x {
		l.days[i] = x - mean
		l.spread += l.days[i] * l.days[i]
	}
	if l.spread == 0 {
		return l, false
	}
	var at float64
	at, l.perDay = stat.LinearRegression(l.days, s.y, nil, false)
	for i, x := range l.days {
		l.rest[i] = s.y[i] - at - l.perDay*x
		l.squares += l.rest[i] * l.rest[i]
	}
	return l, true
}

// The autocorrelation of a few bullpens can't be told, so that it is taken as usual (a
// working value) as far as they don't say more, and never as more than most.
const usualEcho, mostEcho = 0.2, 0.8

// echo returns the autocorrelation of what the line leaves, from bullpen to bullpen,
// corrected for what fitting a line takes off it: (2+4r)/n of it (Marriott and Pope,
// Biometrika 41, 390, 1954, for a mean; one parameter more here).
func (l line) echo() float64 {
	if l.squares == 0 {
		return usualEcho
	}
	var r float64
	for i := 1; i < len(l.rest); i++ {
		r += l.rest[i] * l.rest[i-1] / l.squares
	}
	r += (2 + 4*r) / float64(len(l.rest))
	return min(mostEcho, max(usualEcho, r))
}

// error returns the slope's standard error and its degrees of freedom when errors echo
// from bullpen to bullpen and have the variance least at least. With c the weights of
// least squares and R the correlations r^|i-j| the slope's variance is s^2 c'Rc, and what
// the line leaves has the mean squares s^2 trace(MR), M being what takes the line off.
func (l line) error(echo, least float64) (u, df float64) {
	n := len(l.days)
	var cRc, all, along float64 // c'Rc, 1'R1/n and d'Rd/d'd
	for lag, r := 0, 1.0; lag < n && r > 1e-9; lag, r = lag+1, r*echo {
		both := 2.0 // i before j and j before i
		if lag == 0 {
			both = 1
		}
		all += both * r * float64(n-lag)
		for i := lag; i < n; i++ {
			cRc += both * r * l.days[i] * l.days[i-lag]
		}
	}
	along = cRc / l.spread
	left := float64(n) - all/float64(n) - along // trace(MR)
	variance := max(l.squares/left, least)
	df = max(1, float64(n-2)*(1-echo)/(1+echo))
	return math.Sqrt(variance * cRc / (l.spread * l.spread)), df
}

// Together widens the intervals of all trends' slopes so that they hold together: of m
// different ones each leaves 5/m % out (Bonferroni's inequality). The baseline pitch's is
// one, in whichever trend it stands.
func Together(trends []Trend) {
	var all []*Slope
	baselines := 0
	for i := range trends {
		t := &trends[i]
		for _, s := range []*Slope{t.Gap, t.SD, t.Share, t.Body} {
			if s != nil {
				all = append(all, s)
			}
		}
		if t.Baseline != nil {
			baselines = 1
		}
	}
	alpha := 0.05 / float64(max(1, len(all)+baselines))
	for _, s := range all {
		s.within(alpha)
	}
	for i := range trends {
		if s := trends[i].Baseline; s != nil {
			s.within(alpha)
		}
	}
}
