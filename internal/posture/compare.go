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

// Compare compares deliveries with her own fastballs that were filmed from the same place
// in the same bullpen: one Difference for each measure that both groups have of Least
// deliveries, the surest first.
//
// The two groups may scatter differently: the difference's variance is the sum of s^2/n,
// with degrees of freedom by Welch and Satterthwaite (Welch 1947, Biometrika 34, 28-35).
// No group is taken to scatter less than its measures are unsure.
func Compare(fast, off []map[Kind]Measure) []Difference {
	var out []Difference
	var p []float64
	for _, k := range Kinds() {
		a, b := groupOf(fast, k), groupOf(off, k)
		if a.n < Least || b.n < Least {
			continue
		}
		va, vb := a.variance/a.n, b.variance/b.n
		d := Difference{Kind: k, Fast: a.mean, Off: b.mean, By: evidence.Estimate{
			Value: b.mean - a.mean, Scale: math.Sqrt(va + vb),
			DF: (va + vb) * (va + vb) / (va*va/(a.n-1) + vb*vb/(b.n-1)),
		}}
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
