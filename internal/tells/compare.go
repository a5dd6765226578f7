package tells

import (
	"math"
	"slices"
)

// Least is how many deliveries each group has to have: of 4 and 4 there are only 70
// relabellings, of fewer too few to tell one in twenty.
const Least = 4

// falsely is the chance of any false tell in a bullpen, all its pitches together.
const falsely = 0.05

// Origin says how the deliveries that are compared came about.
type Origin struct {
	// Films names the film of each delivery, fastballs first; nil: all are on one. Where
	// the phone stood otherwise for some, only those of one film may be relabelled among
	// each other: that most change-ups are on the one and most fastballs on the other is
	// no tell.
	Films []string
	// Among is how many pitches of the bullpen are compared, this one included: they share
	// the chance of a false tell (Bonferroni's inequality). 0 is one.
	Among int
}

// Working values of comparing.
const (
	// A look counts if this share of all deliveries has it, and so many of each group.
	leastSeen = 0.75
	leastEach = 3
	// nothing is what a spread is taken for at least, as a share of how far all deliveries
	// are apart there.
	nothing = 1e-6
)

// Axis is a direction in which looks lie beside one another: how many, and how many to
// either side of a look are taken together with it. What gives a pitch away lasts, and
// the spread of few deliveries is unsteady from look to look: neighbours together find what
// none finds alone.
type Axis struct{ Length, Near int }

// Feature is what comparing two groups gave for one look.
type Feature struct {
	Seen      bool    // in enough of both groups; the rest is 0 where it is not
	Fast, Off float64 // means
	// Spread is how far her fastballs are apart among themselves, a standard deviation.
	Spread float64
	// Scatter is the standard error of Off less Fast, which takes each group to scatter as
	// it does (Welch 1947, Biometrika 34, 28-35), and T the difference in units of it.
	Scatter, T float64
	DF         float64 // of T, by Welch and Satterthwaite
	// Around is what is tested: T as a standard normal deviate, the mean of it over the look
	// and its neighbours. Groups that scatter otherwise have fewer degrees of freedom as they
	// were thrown than relabelled, when both are mixed, and their T goes out further by chance
	// alone: as a deviate each labelling's counts for what it is.
	Around float64
	// Apart says that no chance explains it, by all looks together.
	Apart bool
}

// Comparison is what comparing two groups look by look gave.
type Comparison struct {
	Features []Feature
	// Bar is what a look's Around has to be above, either way, to be apart.
	Bar float64
	// Chance is how often relabelled deliveries have a look as far apart as the farthest
	// here, 0 to 1, and Relabelled in how many ways they were.
	Chance     float64
	Relabelled int
}

// Compare compares deliveries look by look: fast[i][k] and off[i][k] are look k of delivery
// i, NaN where it was not seen. Axes say how looks lie, the last the fastest; the product of
// their lengths is how many there are. It is false for fewer than Least deliveries in
// either group.
//
// Change-ups may scatter more than fastballs or less, and where those that scatter more are
// fewer, relabelling takes that for a difference too often: of unequal groups the chance is
// held the lower, by their ratio (a working value; TestFalseTells has how it holds).
func Compare(fast, off [][]float64, axes []Axis) (Comparison, bool) {
	return compare(fast, off, axes, Origin{}, allUpTo)
}

func compare(fast, off [][]float64, axes []Axis, made Origin, most int) (Comparison, bool) {
	if len(fast) < Least || len(off) < Least {
		return Comparison{}, false
	}
	g := newGroups(fast, off, axes)
	n, k := len(fast)+len(off), len(off)
	thrown, others := make([]int, k), make([]int, len(fast))
	for i := range thrown {
		thrown[i] = len(fast) + i
	}
	for i := range others {
		others[i] = i
	}
	out := Comparison{Features: slices.Clone(g.compare(thrown))}
	farthest := g.farthest()
	films := filmsOf(n, k, made.Films)
	g.alike(films)
	var tops []float64
	relabel(films, most, func(off []int) {
		// As they were thrown they are one of the labellings, and it counts as it is tested, or no
		// chance would be held. Of equal groups its mirror is as far.
		if slices.Equal(off, thrown) || slices.Equal(off, others) {
			tops = append(tops, farthest)
			return
		}
		g.compare(off)
		tops = append(tops, g.farthest())
	})
	slices.Sort(tops)
	alpha := falsely / float64(max(made.Among, 1)) * float64(min(k, n-k)) / float64(max(k, n-k))
	out.Relabelled = len(tops)
	// Where not even one labelling may be farther, the bar is the farthest of them, over which
	// none goes: then nothing is said.
	out.Bar = tops[len(tops)-1-int(alpha*float64(len(tops)))]
	// Of equal groups each relabelling has its mirror, which is as far but for rounding.
	const alike = 1 - 1e-9
	out.Chance = float64(len(tops)-firstAtLeast(tops, farthest*alike)) / float64(len(tops))
	for i := range out.Features {
		l := &out.Features[i]
		l.Apart = math.Abs(l.Around)*alike > out.Bar
		if l.Seen {
			l.Fast += g.middle[i]
			l.Off += g.middle[i]
		}
	}
	return out, true
}

func firstAtLeast(sorted []float64, v float64) int {
	i, _ := slices.BinarySearch(sorted, v)
	return i
}

// groups are deliveries that can be labelled one way and another.
type groups struct {
	axes   []Axis
	values [][]float64 // by delivery, less middle; 0 where not seen
	seen   [][]float64 // 1 or 0

	middle, least  []float64 // of all deliveries: mean, and least variance that is believed
	n, sum, square []float64 // of all

	looks               []Feature
	offN, offSum, offSq []float64
	around, together    []float64 // T, and how many looks it is the sum of
	line                []float64
}

func newGroups(fast, off [][]float64, axes []Axis) *groups {
	all := append(slices.Clone(fast), off...)
	looks := 1
	for _, a := range axes {
		looks *= a.Length
	}
	g := &groups{axes: axes, looks: make([]Feature, looks)}
	for _, to := range []*[]float64{&g.middle, &g.least, &g.n, &g.sum, &g.square, &g.offN, &g.offSum, &g.offSq, &g.around, &g.together} {
		*to = make([]float64, looks)
	}
	g.line = make([]float64, looks+1)
	for k := range looks {
		for _, d := range all {
			if !math.IsNaN(d[k]) {
				g.n[k]++
				g.middle[k] += d[k]
			}
		}
		if g.n[k] < leastSeen*float64(len(all)) {
			g.n[k] = 0
		}
		g.middle[k] /= max(g.n[k], 1)
	}
	for _, d := range all {
		values, seen := make([]float64, looks), make([]float64, looks)
		for k, v := range d {
			if !math.IsNaN(v) && g.n[k] > 0 {
				seen[k], values[k] = 1, v-g.middle[k]
				g.sum[k] += values[k]
				g.square[k] += values[k] * values[k]
			}
		}
		g.values, g.seen = append(g.values, values), append(g.seen, seen)
	}
	for k := range looks {
		g.least[k] = nothing * nothing * g.square[k] / max(g.n[k], 1)
	}
	return g
}

// compare compares the deliveries off with the others. What it returns is good until it
// is called again; its means are less the middle.
func (g *groups) compare(off []int) []Feature {
	clear(g.offN)
	clear(g.offSum)
	clear(g.offSq)
	for _, i := range off {
		values, seen := g.values[i], g.seen[i]
		for k, v := range values {
			g.offN[k] += seen[k]
			g.offSum[k] += v
			g.offSq[k] += v * v
		}
	}
	for k := range g.looks {
		n, m := g.n[k]-g.offN[k], g.offN[k]
		l := Feature{Seen: n >= leastEach && m >= leastEach}
		g.around[k], g.together[k] = 0, 0
		if l.Seen {
			sum, square := g.sum[k]-g.offSum[k], g.square[k]-g.offSq[k]
			fast := max((square-sum*sum/n)/(n-1), g.least[k])
			off := max((g.offSq[k]-g.offSum[k]*g.offSum[k]/m)/(m-1), g.least[k])
			l.Fast, l.Off, l.Spread, l.Scatter = sum/n, g.offSum[k]/m, math.Sqrt(fast), math.Sqrt(fast/n+off/m)
			if l.Scatter > 0 {
				l.T = (l.Off - l.Fast) / l.Scatter
			}
			a, z := fast/n, off/m
			l.DF = (a + z) * (a + z) / (a*a/(n-1) + z*z/(m-1))
			g.around[k], g.together[k] = deviate(l.T, l.DF), 1
		}
		g.looks[k] = l
	}
	g.gather(g.around)
	g.gather(g.together)
	for k := range g.looks {
		if g.looks[k].Seen {
			g.looks[k].Around = g.around[k] / g.together[k]
		}
	}
	return g.looks
}

// deviate returns the standard normal deviate that is as far out as t is in Student's
// distribution with df degrees of freedom (Wallace 1959, Bounds on normal approximations to
// Student's and the chi-square distributions, Ann. Math. Stat. 30, 1121-1130). It falls short,
// the further out the more: of 2.576 by 0.018 with 4 degrees and 0.011 with 5, of 3.291 by 0.040
// and 0.025; with 3, by 0.032 and 0.068 (against R's qt and qnorm).
func deviate(t, df float64) float64 {
	if !(df > 0) { // nothing ever moves
		return 0
	}
	return math.Copysign((8*df+1)/(8*df+3)*math.Sqrt(df*math.Log1p(t*t/df)), t)
}

// student is the other way round: the t that is as far out as the deviate z.
func student(z, df float64) float64 {
	z *= (8*df + 3) / (8*df + 1)
	return math.Sqrt(df * math.Expm1(z*z/df))
}

// alike has the off-speed deliveries and the fastballs scatter alike, each kind by one factor
// for all looks: how far each is from the mean of its kind on its film, which stays. They
// scatter by the variance of both pooled. Deliveries
// that differ in how far they scatter can't be taken for one another; these can. That a
// relabelled statistic has to be studentised is known (Janssen 1997, Studentized permutation
// tests for non-i.i.d. hypotheses, Stat. Probab. Lett. 36, 9-21); of few deliveries it is
// not enough, and the factor is ours (TestFalseTells has how it holds).
func (g *groups) alike(films []film) {
	var sum, n [2]float64 // of logarithms of variances, fastballs' and off-speed
	each := func(do func(k int, of [2][]int, mean [2]float64)) {
		for _, f := range films {
			cut := len(f.all) - f.off
			of := [2][]int{f.all[:cut], f.all[cut:]}
			for k := range g.looks {
				if !g.looks[k].Seen {
					continue
				}
				var mean [2]float64
				for j, group := range of {
					seen := 0.0
					for _, i := range group {
						mean[j] += g.values[i][k]
						seen += g.seen[i][k]
					}
					mean[j] /= max(seen, 1)
				}
				do(k, of, mean)
			}
		}
	}
	square, free := [2][]float64{make([]float64, len(g.looks)), make([]float64, len(g.looks))}, [2][]float64{make([]float64, len(g.looks)), make([]float64, len(g.looks))}
	each(func(k int, of [2][]int, mean [2]float64) {
		for j, group := range of {
			seen := 0.0
			for _, i := range group {
				v := g.values[i][k] - mean[j]
				square[j][k] += v * v * g.seen[i][k]
				seen += g.seen[i][k]
			}
			free[j][k] += max(seen-1, 0)
		}
	})
	for k := range g.looks {
		if min(free[0][k], free[1][k]) < 1 || min(square[0][k]/free[0][k], square[1][k]/free[1][k]) <= g.least[k] {
			continue
		}
		for j := range sum {
			sum[j] += math.Log(square[j][k] / free[j][k])
			n[j]++
		}
	}
	if n[0] == 0 {
		return
	}
	ratio := math.Exp((sum[1] - sum[0]) / n[0]) // of the variances, off-speed to fastballs'
	count := [2]float64{}
	for _, f := range films {
		count[0] += float64(len(f.all) - f.off)
		count[1] += float64(f.off)
	}
	w := count[1] / (count[0] + count[1])
	pooled := 1 - w + w*ratio
	by := [2]float64{math.Sqrt(pooled), math.Sqrt(pooled / ratio)}
	each(func(k int, of [2][]int, mean [2]float64) {
		for j, group := range of {
			for _, i := range group {
				if g.seen[i][k] == 0 {
					continue
				}
				v := g.values[i][k]
				to := mean[j] + by[j]*(v-mean[j])
				g.square[k] += to*to - v*v
				g.values[i][k] = to
			}
		}
	})
}

func (g *groups) farthest() float64 {
	far := 0.0
	for i := range g.looks {
		far = max(far, math.Abs(g.looks[i].Around))
	}
	return far
}

// gather replaces each value by the sum of itself and its neighbours, along one axis after
// the other.
func (g *groups) gather(v []float64) {
	step := len(v)
	for _, a := range g.axes {
		step /= a.Length
		if a.Near == 0 {
			continue
		}
		for first := range len(v) / a.Length {
			from := first/step*step*a.Length + first%step
			for i := range a.Length { // sums from the line's beginning
				g.line[i+1] = g.line[i] + v[from+i*step]
			}
			for i := range a.Length {
				v[from+i*step] = g.line[min(i+a.Near+1, a.Length)] - g.line[max(i-a.Near, 0)]
			}
		}
	}
}
