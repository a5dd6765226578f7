package tells

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
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
	// and its neighbours. A T of few degrees of freedom goes out further by chance alone; as
	// deviates all looks count alike.
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
// Change-ups may scatter more than fastballs or less. A delivery that is relabelled scatters as
// its new label does, so that fewer but wider ones, or tighter ones, are taken for no
// difference (TestFalseTells has how it holds).
func Compare(fast, off [][]float64, axes []Axis) (Comparison, bool) {
	return compare(fast, off, axes, Origin{}, allUpTo)
}

func compare(fast, off [][]float64, axes []Axis, made Origin, most int) (Comparison, bool) {
	if len(fast) < Least || len(off) < Least {
		return Comparison{}, false
	}
	g := newGroups(fast, off, axes)
	n, k := len(fast)+len(off), len(off)
	thrown := make([]int, k)
	for i := range thrown {
		thrown[i] = len(fast) + i
	}
	out := Comparison{Features: slices.Clone(g.compare(thrown))}
	farthest := g.farthest()
	films := filmsOf(n, k, made.Films)
	wider := math.Sqrt(g.ratio(films))
	g.carry(films, wider)
	full := remains(films, thrown, wider)
	var tops []float64
	relabel(films, most, func(off []int) {
		g.compare(off)
		far := g.farthest()
		if left := remains(films, off, wider); left > 0 { // none is where each film shows one pitch alone
			far *= math.Sqrt(full / left)
		}
		tops = append(tops, far)
	})
	slices.Sort(tops)
	alpha := falsely / float64(max(made.Among, 1))
	out.Relabelled = len(tops)
	// Where not even one labelling may be farther, the bar is the farthest of them, over which
	// none goes: then nothing is said.
	out.Bar = tops[len(tops)-1-int(alpha*float64(len(tops)))]
	// As they were thrown they are one of the labellings; of equal groups that scatter alike
	// each has its mirror, which is as far but for rounding.
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
	axes []Axis
	// What each delivery shows as a fastball and as an off-speed one, less middle; 0 where not
	// seen. Until carry says otherwise both are what was seen.
	asFast, asOff [][]float64
	seen          [][]float64 // by delivery, 1 or 0

	middle, least  []float64 // of all deliveries: mean, and least variance that is believed
	n, sum, square []float64 // of all as fastballs

	looks               []Feature
	offN, offSum, offSq []float64 // of the off-speed ones
	gone, goneSq        []float64 // of the same as fastballs
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
	for _, to := range []*[]float64{&g.middle, &g.least, &g.n, &g.sum, &g.square, &g.offN, &g.offSum, &g.offSq, &g.gone, &g.goneSq, &g.around, &g.together} {
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
		g.asFast, g.asOff, g.seen = append(g.asFast, values), append(g.asOff, slices.Clone(values)), append(g.seen, seen)
	}
	for k := range looks {
		g.least[k] = nothing * nothing * g.square[k] / max(g.n[k], 1)
	}
	return g
}

// compare compares the deliveries off with the others. What it returns is good until it
// is called again; its means are less the middle.
func (g *groups) compare(off []int) []Feature {
	for _, of := range [][]float64{g.offN, g.offSum, g.offSq, g.gone, g.goneSq} {
		clear(of)
	}
	for _, i := range off {
		asFast, asOff, seen := g.asFast[i], g.asOff[i], g.seen[i]
		for k, v := range asOff {
			g.offN[k] += seen[k]
			g.offSum[k] += v
			g.offSq[k] += v * v
			g.gone[k] += asFast[k]
			g.goneSq[k] += asFast[k] * asFast[k]
		}
	}
	for k := range g.looks {
		n, m := g.n[k]-g.offN[k], g.offN[k]
		l := Feature{Seen: n >= leastEach && m >= leastEach}
		g.around[k], g.together[k] = 0, 0
		if l.Seen {
			sum, square := g.sum[k]-g.gone[k], g.square[k]-g.goneSq[k]
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

// carry works out what each delivery would show under the other label: as far from the mean
// of all of its film at that look, by how many times wider off-speed deliveries scatter. If
// that and the mean were known, the labels could be exchanged exactly where nothing else
// differs, and every relabelled bullpen scatters as the thrown one does, so that its T has the
// distribution that was tested. That a relabelled statistic has to be studentised as well is
// known (Janssen 1997, Studentized permutation tests for non-i.i.d. hypotheses, Stat. Probab.
// Lett. 36, 9-21); of few deliveries that alone is not enough. How much wider is one factor
// for all looks: of one look few deliveries don't tell it. The mean weighs each kind by how
// far it scatters, as the best of a mean that both share does.
func (g *groups) carry(films []film, wider float64) {
	for _, f := range films {
		cut := len(f.all) - f.off
		for k := range g.looks {
			sum, weight := 0.0, 0.0
			for at, i := range f.all {
				w := g.seen[i][k]
				if at >= cut {
					w /= wider * wider
				}
				sum += w * g.asFast[i][k]
				weight += w
			}
			if weight == 0 {
				continue
			}
			mean := sum / weight
			for at, i := range f.all {
				switch v := g.asFast[i][k]; {
				case g.seen[i][k] == 0:
				case at < cut:
					g.asOff[i][k] = mean + wider*(v-mean)
				default:
					w := mean + (v-mean)/wider
					g.asFast[i][k] = w
					g.sum[k] += w - v
					g.square[k] += w*w - v*v
				}
			}
		}
	}
}

// remains returns the variance of a labelling's difference of means, in units of a fastball's
// variance, that is left once deliveries were carried over about a mean that is their own:
// what lies along that mean is gone from it (a projection; R's lm finds the same). On one
// film on which both kinds scatter alike nothing is.
func remains(films []film, off []int, wider float64) float64 {
	n, k := 0, len(off)
	for _, f := range films {
		n += len(f.all) - f.off
	}
	left := 1/float64(n) + wider*wider/float64(k)
	for _, f := range films {
		cut := len(f.all) - f.off
		along := 0.0 // of each delivery's part in the difference, in units of how far it scattered
		for at, i := range f.all {
			was := 1.0
			if at >= cut {
				was = wider
			}
			if slices.Contains(off, i) {
				along += wider / was / float64(k)
			} else {
				along -= 1 / was / float64(n)
			}
		}
		left -= along * along / (float64(cut) + float64(f.off)/wider/wider)
	}
	return left
}

// ratio returns the variance of the off-speed deliveries over that of her fastballs, each
// about the mean of its kind on its film: the geometric mean over all looks, less by how
// much the logarithm of a variance falls short for its degrees of freedom (Bartlett & Kendall
// 1946, Supplement to the J. R. Stat. Soc. 8, 128-138). 1 where it can't be told.
func (g *groups) ratio(films []film) float64 {
	sum, n := 0.0, 0.0
	for k := range g.looks {
		if !g.looks[k].Seen {
			continue
		}
		var square, free [2]float64 // fastballs', off-speed
		for _, f := range films {
			cut := len(f.all) - f.off
			for j, group := range [2][]int{f.all[:cut], f.all[cut:]} {
				mean, seen := 0.0, 0.0
				for _, i := range group {
					mean += g.asFast[i][k]
					seen += g.seen[i][k]
				}
				mean /= max(seen, 1)
				for _, i := range group {
					v := g.asFast[i][k] - mean
					square[j] += v * v * g.seen[i][k]
				}
				free[j] += max(seen-1, 0)
			}
		}
		if min(free[0], free[1]) < 1 || min(square[0]/free[0], square[1]/free[1]) <= g.least[k] {
			continue
		}
		sum += logVariance(square[1], free[1]) - logVariance(square[0], free[0])
		n++
	}
	if n == 0 {
		return 1
	}
	return math.Exp(sum / n)
}

// logVariance is the logarithm of a variance, right on average, of a sum of squares with so
// many degrees of freedom.
func logVariance(square, free float64) float64 {
	return math.Log(square/2) - mathext.Digamma(free/2)
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
