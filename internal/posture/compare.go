package posture

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"tenoff/internal/evidence"
)

// Least is how many deliveries of each group a measure is compared over at least.
const Least = 3

// sureOf is held to the chance of saying that anything differs where nothing does, over all
// that is measured, so that it stays under 5 % also for twelve fastballs and four others,
// where Welch's approximation is a little bold far out (simulated beside this file).
const sureOf = 0.025

// Difference is one measure's mean in a group of deliveries less its mean in her
// fastballs.
type Difference struct {
	Kind      Kind
	Fast, Off float64 // means
	// By is Off less Fast. Its interval of 95 % is this measure's alone.
	By evidence.Estimate
	// Clear says that it is there, by all that was measured together (Holm), and large
	// enough to be worth a word.
	Clear bool
}

// Visible returns how large the difference would have to be to be found four times in
// five, among as many measures as were compared: the quantile that Holm's first step asks
// for, and that of 80 % beside it.
func (d Difference) Visible(compared int) float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: d.By.DF}
	seen := (t.Quantile(1-sureOf/2/float64(compared)) + t.Quantile(0.8)) * d.By.Scale
	return max(seen, worth[d.Kind])
}

// worth is the least difference that is worth a word: what an eye can see (working
// values).
var worth = map[Kind]float64{
	LeanPlant: 3, LeanRelease: 3, HipsOpen: 40, HipSpeed: 0.2, Stride: 0.05, ArmSlot: 0.06, FrontKnee: 4,
}

// otherwise is by how much, as a standard uncertainty, the finder is off in another way with
// a body that is held in another way: what every delivery of a group shares, so that more of
// them don't take it off. Each is set on rendered deliveries whose truth is known (60
// frames a second): what was found between two groups less what was
// there, from two camera places. Where hips count as open, which HipsOpen hangs on, was set on
// b-side as well (testdata/README.md). It sees a trunk that leans further a tenth less far than
// it does.
var otherwise = map[Kind]float64{
	LeanPlant: 0.3, LeanRelease: 0.4, HipsOpen: 9, HipSpeed: 0.07, Stride: 0.025, ArmSlot: 0.05, FrontKnee: 0.6,
}

const (
	leansLess   = 0.1   // of a lean's difference
	hipsBySpeed = 0.004 // torso lengths a second for each millisecond by which the hips open otherwise: turning, they seem to move
)

// asHeld returns a difference with what the finder is off by because the body is held
// otherwise. Its degrees of freedom are Welch's and Satterthwaite's again, with that part
// known for good (JCGM 100:2008, G.4).
func asHeld(k Kind, d evidence.Estimate, opens float64) evidence.Estimate {
	off := otherwise[k]
	switch k {
	case LeanPlant, LeanRelease:
		off = math.Hypot(off, leansLess*d.Value)
	case HipSpeed:
		off = math.Hypot(off, hipsBySpeed*opens)
	}
	scale := math.Hypot(d.Scale, off)
	d.DF *= math.Pow(scale/d.Scale, 4)
	d.Scale = scale
	return d
}

// welch compares two groups that may scatter differently: the difference's variance is
// the sum of s^2/n, with degrees of freedom by Welch and Satterthwaite (Welch 1947,
// Biometrika 34, 28-35).
func welch(a, b group) evidence.Estimate {
	va, vb := a.variance/a.n, b.variance/b.n
	return evidence.Estimate{
		Value: b.mean - a.mean, Scale: math.Sqrt(va + vb),
		DF: (va + vb) * (va + vb) / (va*va/(a.n-1) + vb*vb/(b.n-1)),
	}
}

// Compare compares deliveries with her own fastballs that were filmed from the same place
// in the same bullpen: one Difference for each measure that both groups have of Least
// deliveries, the surest first.
//
// No group is taken to scatter less than its measures are unsure.
func Compare(fast, off []map[Kind]Measure) []Difference {
	var out []Difference
	var p []float64
	opens := 0.0
	if a, b := groupOf(fast, HipsOpen), groupOf(off, HipsOpen); a.n > 0 && b.n > 0 {
		opens = b.mean - a.mean
	}
	for _, k := range Kinds() {
		a, b := groupOf(fast, k), groupOf(off, k)
		if a.n < Least || b.n < Least {
			continue
		}
		d := Difference{Kind: k, Fast: a.mean, Off: b.mean, By: asHeld(k, welch(a, b), opens)}
		t := math.Abs(d.By.Value) / d.By.Scale
		out = append(out, d)
		p = append(p, 2*distuv.StudentsT{Sigma: 1, Nu: d.By.DF}.Survival(t))
	}
	for i, found := range evidence.Holm(p, sureOf) {
		out[i].Clear = found && math.Abs(out[i].By.Value) >= worth[out[i].Kind]
	}
	order := make([]int, len(out))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		switch {
		case p[i] < p[j]:
			return -1
		case p[i] > p[j]:
			return 1
		}
		return 0
	})
	sorted := make([]Difference, len(out))
	for i, from := range order {
		sorted[i] = out[from]
	}
	return sorted
}

type group struct{ n, mean, variance float64 }

func groupOf(deliveries []map[Kind]Measure, k Kind) group {
	var g group
	var unsure float64
	for _, d := range deliveries {
		if m, ok := d[k]; ok {
			g.n++
			g.mean += m.Value
			unsure += m.U * m.U
		}
	}
	if g.n < 2 {
		return g
	}
	g.mean /= g.n
	for _, d := range deliveries {
		if m, ok := d[k]; ok {
			g.variance += (m.Value - g.mean) * (m.Value - g.mean) / (g.n - 1)
		}
	}
	g.variance = max(g.variance, unsure/g.n)
	return g
}
