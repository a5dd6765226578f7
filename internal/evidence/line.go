package evidence

import (
	"math"
	"slices"
)

// Rep is one rep as the model sees it.
type Rep struct {
	Group int     // index into Prior.Spreads
	Place float64 // where it stands in the order thrown
	Value float64
	// Known is the variance that measuring the rep adds, in the value's unit squared,
	// >= 0: a display's rounding, a film's frames.
	Known float64
}

// Prior is what is known before the reps are looked at.
type Prior struct {
	// Spreads are, of each group, the standard deviation of its reps about their line,
	// > 0: her own of earlier bullpens, or a working value. How large they all are is
	// learned from all reps, and how wide each is from its own before the others'.
	Spreads []float64
	// Slope is the standard deviation of the slope about 0, per place, > 0.
	Slope float64
	// Worth is how many reps the spreads are worth, their degrees of freedom, > 2; 0
	// means UsualWorth.
	Worth float64
}

// UsualWorth is what a spread that was known beforehand is worth: three alike readings
// never make a spread of nothing, and ten that differ outweigh it.
const UsualWorth = 4

// Line is what the reps of one bullpen say: a level for each group, and a slope.
type Line struct {
	groups []group
	slope  float64 // per place
	loose  float64 // variance of the slope, in units of scale squared
	scale  float64 // how much wider she spreads than was expected, as a ratio, all groups together
	df     float64
	worth  float64
	prior  float64 // precision of the slope as it was known before
	sums   sums    // of all reps about their groups' means
	// scatter is all reps', and the slope's own distance from what was known of it.
	scatter Scatter
}

// group is the reps of one group, weighted.
type group struct {
	n            int
	spread       float64 // as expected
	weight       float64 // sum of the reps' 1/variance, as expected
	place, value float64 // weighted means
	sums         sums    // of its reps about these means
	scale        float64 // how much wider this group spreads than was expected, as a ratio
	df           float64 // that this is known with
}

// LineOf returns what the reps say. Levels have flat priors, the slope a normal one about
// 0 and the squared ratio of the spreads to the expected ones a scaled inverse chi-squared
// one about 1. With w = 1/(spread^2 + known) of each rep, x and y its place and value less
// their weighted means in its group, G groups with reps among n reps, the posterior is
//
//	slope = sum w x y / P,   P = sum w x x + 1/Slope^2
//	scale^2 = (Worth + sum w y y - slope^2 P) / df,   df = Worth + n - G
//
// the slope is Student's t with df degrees of freedom about slope in units of scale/sqrt(P),
// and a group's level is independent of it at the group's mean place, about its mean value,
// in units of scale/sqrt(sum w) (Gelman et al., Bayesian Data Analysis, 3rd ed., 2013,
// 14.2 and 14.8, the prior of the slope as one more observation).
//
// The conjugate prior makes the slope's width grow and shrink with the spread. Grow it
// may, but a steady pitcher tires as others do: where the scale comes out under 1, the
// slope's prior is taken by it, so that it is as wide as Slope again. The scale is never
// less than what measuring alone makes.
//
// That scale, of all groups together, is for what hangs on several of them: the slope and
// the levels. How far one more rep of a group may go hangs on that group's own, for a pitch
// may scatter more or less widely beside another than was expected. The other groups, of m
// reps less one for each of them, tell what it is to begin with, by a scale of their own,
// known with Worth + m degrees of freedom; and how the spreads stand to each other is known
// beforehand no better than how large they are, so that this is worth less, share, here:
//
//	others^2 = (Worth + slope^2/Slope^2 + sum over others' reps of w e^2) / (Worth + m)
//	1/share  = 1/(Worth + m) + 1/Worth
//	own^2    = (share others^2 + sum over its n reps of w e^2) / (share + n - 1)
//
// with e the residuals: scaled inverse chi-squared priors, one after the other (Gelman et al.,
// 2.6), of which the logarithm's variance is about 2/df and adds up. Where there is no other
// group its scale is that of all, and share is Worth.
func LineOf(prior Prior, reps []Rep) Line {
	l := Line{groups: make([]group, len(prior.Spreads)), worth: prior.worth(), prior: 1 / (prior.Slope * prior.Slope)}
	for i, s := range prior.Spreads {
		l.groups[i].spread = s
	}
	for _, r := range reps {
		g := &l.groups[r.Group]
		w := g.weightOf(r)
		g.n++
		g.weight += w
		share := w / g.weight
		g.place += share * (r.Place - g.place) // a running mean, which keeps its digits
		g.value += share * (r.Value - g.value)
	}
	for _, r := range reps {
		g := &l.groups[r.Group]
		w, x, y := g.weightOf(r), r.Place-g.place, r.Value-g.value
		for _, of := range []*sums{&l.sums, &g.sums} {
			of.places += w * x * x
			of.across += w * x * y
			of.values += w * y * y
			of.least = max(of.least, r.Known*w)
		}
	}
	l.settle(Scatter{})
	return l
}

// sums are over all reps, weighted, about their groups' means.
type sums struct {
	places, across, values float64
	least                  float64 // the least squared scale that measuring makes
}

// settle fills in what the reps say, and others that are in no group of theirs but were
// thrown beside them.
func (l *Line) settle(others Scatter) {
	l.settleSlope(l.prior, others)
	if l.scale < 1 {
		l.settleSlope(l.prior*l.scale*l.scale, others)
	}
	for i := range l.groups {
		g := &l.groups[i]
		own := g.scatter(l.slope)
		g.scale, g.df = own.Beside(l.scatter.less(own).and(others), l.worth)
	}
}

// settleSlope fills in the slope, and the scale, with a precision of the slope's prior.
func (l *Line) settleSlope(precision float64, others Scatter) {
	l.loose = 1 / (precision + l.sums.places)
	l.slope = l.sums.across * l.loose
	l.scatter = Scatter{Squares: l.slope * l.slope * precision}
	for _, g := range l.groups {
		l.scatter = l.scatter.and(g.scatter(l.slope))
	}
	l.scale, l.df = l.scatter.Beside(others, l.worth)
}

// about is the sum of the squares about a slope.
func (s sums) about(slope float64) float64 {
	return max(0, s.values-2*slope*s.across+slope*slope*s.places)
}

func (p Prior) worth() float64 {
	if p.Worth == 0 {
		return UsualWorth
	}
	return p.Worth
}

// weightOf is the rep's weight in the group, 1/variance as expected.
func (g *group) weightOf(r Rep) float64 { return 1 / (g.spread*g.spread + r.Known) }

// N returns how many reps the group has. Only a group with one can be asked about, but for
// Spread and SpreadDF: of one without, these are what the others tell.
func (l Line) N(g int) int { return l.groups[g].n }

// Place returns the group's mean place, where its level is known best.
func (l Line) Place(g int) float64 { return l.groups[g].place }

// Level returns the group's level at the place.
func (l Line) Level(g int, place float64) Estimate {
	return l.estimate(l.at(g, place), l.unsure(g, place))
}

// Scatter returns how widely the reps lie about the line.
func (l Line) Scatter() Scatter { return l.scatter }

// Beside returns the line as it is known when others, which are no part of it, were thrown
// beside its reps: how widely she spreads is learned from both, and the slope's prior is as
// wide as it was said to be by that scale.
func (l Line) Beside(others Scatter) Line {
	l.groups = slices.Clone(l.groups)
	l.settle(others)
	return l
}

// Middle returns the group's level at its own mean place: the mean of its values.
func (l Line) Middle(g int) Estimate { return l.Level(g, l.groups[g].place) }

// Next returns what one more rep of the group at the place will be, measured with the
// variance known: as far from the group's level as its own reps go. A group of one rep
// beside others may have no more than 2 degrees of freedom for it.
func (l Line) Next(g int, place, known float64) Estimate {
	of := &l.groups[g]
	far := place - of.place
	own := of.scale * of.scale * (1/of.weight + of.spread*of.spread + known)
	return Estimate{Value: l.at(g, place), Scale: math.Sqrt(own + l.scale*l.scale*far*far*l.loose), DF: of.df}
}

// Gap returns how far group a lies over group b, at whichever place, for the slope is one.
func (l Line) Gap(a, b int) Estimate {
	ga, gb := &l.groups[a], &l.groups[b]
	apart := gb.place - ga.place
	return l.estimate(ga.value-gb.value+l.slope*apart, 1/ga.weight+1/gb.weight+apart*apart*l.loose)
}

// Shift returns how much of Gap the slope makes: what it is more than the difference of
// the two groups' means.
func (l Line) Shift(a, b int) float64 {
	return l.slope * (l.groups[b].place - l.groups[a].place)
}

// Blocked returns how far one of the two groups was thrown after the other: 0 where they
// are mixed, near 1 where all of one came first, and 0 for a group of one rep. It is the
// share of the spread of all places that lies between the groups, of which two blocks as
// long as each other make three quarters.
func (l Line) Blocked(a, b int) float64 {
	ga, gb := &l.groups[a], &l.groups[b]
	na, nb := float64(ga.n), float64(gb.n)
	apart := gb.place - ga.place
	between := na * nb / (na + nb) * apart * apart
	within := na*ga.sums.places/ga.weight + nb*gb.sums.places/gb.weight
	if between == 0 {
		return 0
	}
	return min(1, between/(between+within)/0.75) * (1 - 1/min(na, nb))
}

// Slope returns the change per place.
func (l Line) Slope() Estimate { return l.estimate(l.slope, l.loose) }

// Spread returns the standard deviation of the group's reps about their line, that of
// measuring left out, as the reps and what was known before have it.
func (l Line) Spread(g int) float64 { return l.groups[g].spread * l.groups[g].scale }

// SpreadDF returns the degrees of freedom that Spread is known with, 2 or more.
func (l Line) SpreadDF(g int) float64 { return l.groups[g].df }

// DF returns the degrees of freedom of the line's estimates, > 2, but for those of Next, which
// has its group's own.
func (l Line) DF() float64 { return l.df }

// at is the group's level at the place.
func (l Line) at(g int, place float64) float64 {
	return l.groups[g].value + l.slope*(place-l.groups[g].place)
}

// unsure is that level's variance, in units of scale squared.
func (l Line) unsure(g int, place float64) float64 {
	far := place - l.groups[g].place
	return 1/l.groups[g].weight + far*far*l.loose
}

func (l Line) estimate(value, variance float64) Estimate {
	return Estimate{Value: value, Scale: l.scale * math.Sqrt(variance), DF: l.df}
}

// Open returns which share of Gap's variance, 0..1, the slope makes: much where one group
// was thrown before the other.
func (l Line) Open(a, b int) float64 {
	apart := l.groups[b].place - l.groups[a].place
	open := apart * apart * l.loose
	return open / (open + 1/l.groups[a].weight + 1/l.groups[b].weight)
}
