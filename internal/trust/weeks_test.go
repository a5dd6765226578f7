package trust

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"
)

var pages = flag.Int("pages", 1500, "of nothing that changes, to look for a clear slope on")

// Of pages on which nothing changes hardly any says that something does: nine slopes, of
// 5 to 40 bullpens a week apart, whose values echo from bullpen to bullpen or don't. At
// most 6 of 100 pages may, and 10 with an autocorrelation of 0.4; here with room for luck.
func TestPagesOfNothing(t *testing.T) {
	dice := rand.New(rand.NewPCG(20, 26))
	for _, c := range []struct{ echo, most float64 }{{0, 6}, {0.4, 10}} {
		var wrong, all int
		for _, n := range []int{5, 6, 8, 12, 20, 40} {
			found := 0
			for range *pages / 6 {
				if clearPage(dice, n, c.echo) {
					found++
				}
			}
			t.Logf("echo %v, %d bullpens: %.1f %% of pages", c.echo, n, 100*float64(found)/float64(*pages/6))
			wrong, all = wrong+found, all+*pages/6
		}
		if share := 100 * float64(wrong) / float64(all); share > c.most+165*math.Sqrt(c.most/100/float64(all)) {
			t.Errorf("echo %v: a slope is clear on %.1f %% of pages", c.echo, share)
		}
	}
}

// clearPage says whether one of nine slopes of nothing is clear.
func clearPage(dice *rand.Rand, n int, echo float64) bool {
	slope := func() *Slope {
		var s series
		e := dice.NormFloat64()
		for i := range n {
			if i > 0 {
				e = echo*e + math.Sqrt(1-echo*echo)*dice.NormFloat64()
			}
			s.add(float64(7*i), 10+e, 0.4) // what the bullpen itself can't tell is less than what differs
		}
		return s.slope()
	}
	page := []Trend{{Gap: slope(), SD: slope(), Share: slope(), Body: slope(), Baseline: slope()}, {Gap: slope(), SD: slope(), Share: slope(), Body: slope()}}
	Together(page)
	for _, t := range page {
		for _, s := range []*Slope{t.Gap, t.SD, t.Share, t.Body, t.Baseline} {
			if s != nil && (s.Lo > 0 || s.Hi < 0) {
				return true
			}
		}
	}
	return false
}
