package posture

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"tenoff/internal/evidence/evidencetest"
)

func deliveries(k Kind, values ...float64) []map[Kind]Measure {
	var out []map[Kind]Measure
	for _, v := range values {
		out = append(out, map[Kind]Measure{k: {Value: v}})
	}
	return out
}

// Differences, their intervals and degrees of freedom are those of R's t.test, Welch's.
func TestCompareAgreesWithR(t *testing.T) {
	dice := rand.New(rand.NewPCG(3, 1))
	var script strings.Builder
	var ours []float64
	for range 20 {
		var fast, off []float64
		for range 3 + dice.IntN(8) {
			fast = append(fast, 10+2*dice.NormFloat64())
		}
		for range 3 + dice.IntN(8) {
			off = append(off, 13+3*dice.NormFloat64())
		}
		list := func(v []float64) string {
			return strings.Trim(strings.ReplaceAll(fmt.Sprintf("%.17g", v), " ", ","), "[]")
		}
		fmt.Fprintf(&script, "r <- t.test(c(%s), c(%s)); cat(format(c(r$conf.int, r$parameter), digits = 15), sep = '\\n')\n", list(off), list(fast))
		by := welch(groupOf(deliveries(LeanPlant, fast...), LeanPlant), groupOf(deliveries(LeanPlant, off...), LeanPlant))
		lo, hi := by.Interval(0.95)
		ours = append(ours, lo, hi, by.DF)
	}
	evidencetest.AgreesWithR(t, script.String(), "", 1e-6, ours, "from", "to", "degrees of freedom")
}

// Where nothing differs, at most 5 % of bullpens say that anything does; a difference of
// three spreads of one measure is mostly found with 6 and 6. Seed 5; the share of 2000
// bullpens has a standard error of 0.5 %, three of which are let pass.
func TestHowOftenAnythingDiffers(t *testing.T) {
	dice := rand.New(rand.NewPCG(5, 5))
	spread := map[Kind]float64{}
	for _, k := range Kinds() {
		spread[k] = worth[k] // so that the size of a difference never decides by itself
	}
	pen := func(n int, k Kind, by float64) []map[Kind]Measure {
		var out []map[Kind]Measure
		for range n {
			d := map[Kind]Measure{}
			for _, x := range Kinds() {
				v := spread[x] * dice.NormFloat64()
				if x == k {
					v += by * spread[x]
				}
				d[x] = Measure{Value: v, U: 0.3 * spread[x]}
			}
			out = append(out, d)
		}
		return out
	}
	const pens = 2000
	for _, c := range []struct {
		fast, off int
		by        float64
		least     float64
		most      float64
	}{{3, 3, 0, 0, 0.065}, {6, 6, 0, 0, 0.065}, {12, 4, 0, 0, 0.065}, {6, 6, 3, 0.75, 1}} {
		said := 0
		for range pens {
			for _, d := range Compare(pen(c.fast, "", 0), pen(c.off, LeanRelease, c.by)) {
				if d.Clear && (c.by == 0 || d.Kind == LeanRelease && d.By.Value > 0) {
					said++
					break
				}
			}
		}
		share := float64(said) / pens
		t.Logf("%d + %d, by %.0f spreads: said in %.3f of bullpens", c.fast, c.off, c.by, share)
		if share < c.least || share > c.most {
			t.Errorf("%d + %d, by %.0f spreads: said in %.3f of bullpens, want %.2f to %.3f", c.fast, c.off, c.by, share, c.least, c.most)
		}
	}
}

// Two groups are not compared over fewer than three of each, nor said to scatter less than
// their measures are unsure.
func TestCompareFew(t *testing.T) {
	if d := Compare(deliveries(Stride, 1, 2, 3), deliveries(Stride, 5, 6)); len(d) != 0 {
		t.Errorf("two deliveries are compared: %v", d)
	}
	same := func(v float64) []map[Kind]Measure {
		out := deliveries(Stride, v, v, v)
		for _, d := range out {
			d[Stride] = Measure{Value: v, U: 0.3}
		}
		return out
	}
	d := Compare(same(1.5), same(1.7))
	if len(d) != 1 || d[0].Clear || math.Abs(d[0].By.Scale-math.Hypot(0.3*math.Sqrt(2.0/3), otherwise[Stride])) > 1e-12 {
		t.Errorf("deliveries all alike, each known to 0.3: %+v", d)
	}
}
