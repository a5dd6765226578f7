package tells

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"
)

// falseSeed and foundSeed begin the seeds of simulated bullpens; none of them was looked
// at before the method stood.
const falseSeed, foundSeed = 7100, 7200

var long = flag.Bool("long", false, "simulate many bullpens, and print a table")

// A bullpen of chance: 8 measures at 20 steps, each step 0.9 like the one before, with a
// spread of 1; the off-speed deliveries scatter by wide and differ by so much in one
// measure over 6 steps.
type chance struct {
	fast, off int
	wide, by  float64
}

const (
	chanceMeasures = 8
	chanceSteps    = 20
	chanceRun      = 6
)

func (c chance) bullpen(dice *rand.Rand) (fast, off []Delivery, measure, from int) {
	measure, from = dice.IntN(chanceMeasures), dice.IntN(chanceSteps-chanceRun+1)
	for i := range c.fast + c.off {
		d := make(Delivery, chanceMeasures)
		isOff := i >= c.fast
		for m := range d {
			d[m] = make([]float64, chanceSteps)
			v := dice.NormFloat64()
			for s := range d[m] {
				d[m][s] = v
				if isOff {
					d[m][s] *= c.wide
					if m == measure && s >= from && s < from+chanceRun {
						d[m][s] += c.by
					}
				}
				v = 0.9*v + math.Sqrt(1-0.81)*dice.NormFloat64()
			}
		}
		if isOff {
			off = append(off, d)
		} else {
			fast = append(fast, d)
		}
	}
	return fast, off, measure, from
}

// right reports whether a bullpen's tell is found in its measure, at one of its steps or
// one beside them, and anything whether anything is said.
func (c chance) right(dice *rand.Rand, most int) (right, anything bool) {
	fast, off, measure, from := c.bullpen(dice)
	found, _ := find(fast, off, make([]float64, chanceMeasures), Origin{}, most)
	for i, t := range found.Tells {
		right = right || i == 0 && t.Measure == measure && t.Step >= from-1 && t.Step < from+chanceRun
	}
	return right, len(found.Tells) > 0
}

func (c chance) shares(seed uint64, bullpens, most int) (right, anything float64) {
	dice := rand.New(rand.NewPCG(seed, 12))
	for range bullpens {
		r, a := c.right(dice, most)
		if r {
			right += 1 / float64(bullpens)
		}
		if a {
			anything += 1 / float64(bullpens)
		}
	}
	return right, anything
}

// In bullpens in which nothing differs hardly one of twenty has a tell, with few and many
// deliveries of either kind, and also where change-ups scatter more than fastballs or less.
func TestFalseTells(t *testing.T) {
	bullpens, most := 250, 199
	if *long {
		bullpens = 2000
	}
	k := uint64(0)
	for _, n := range [][2]int{{4, 4}, {6, 6}, {8, 8}, {12, 6}, {6, 12}, {12, 4}} {
		for _, wide := range []float64{0.6, 1, 1.5} {
			k++
			c := chance{fast: n[0], off: n[1], wide: wide}
			// Fewer than fastballs, and scattering more, is what is hardest to judge.
			if hard := c.fast >= 2*c.off && wide > 1; !*long && !hard && k%4 != 1 {
				continue
			}
			_, said := c.shares(falseSeed+k, bullpens, most)
			t.Logf("%d + %d, change-ups scatter %.1f times as much: %.1f %%", c.fast, c.off, c.wide, 100*said)
			// By chance so many more of these bullpens: two and a half standard deviations.
			if by := 2.5 * math.Sqrt(falsely*(1-falsely)/float64(bullpens)); said > falsely+by {
				t.Errorf("%d + %d, change-ups scatter %.1f times as much: a false tell in %.1f %%", c.fast, c.off, c.wide, 100*said)
			}
		}
	}
}

// What is there is found, in its measure and at its time, as often as long runs gave
// (-long).
func TestTellsFound(t *testing.T) {
	bullpens, most := 120, 199
	if *long {
		bullpens, most = 1000, 399
	}
	for k, c := range []struct {
		chance
		least float64
	}{
		{chance{4, 4, 1, 3}, 0.30}, {chance{6, 6, 1, 2}, 0.36}, {chance{6, 6, 1, 2.5}, 0.62}, {chance{6, 6, 1, 3}, 0.85},
		{chance{8, 8, 1, 2}, 0.62}, {chance{8, 8, 1, 2.5}, 0.85}, {chance{10, 10, 1, 2}, 0.75}, {chance{10, 10, 1, 2.5}, 0.90},
		{chance{8, 8, 1, 3}, 0.95}, {chance{10, 10, 1, 3}, 0.95}, {chance{4, 4, 1, 2}, 0}, {chance{4, 4, 1, 2.5}, 0},
		{chance{12, 6, 1, 2.5}, 0.75}, {chance{6, 12, 1, 2.5}, 0.73}, {chance{6, 6, 0.6, 3}, 0.85}, {chance{6, 6, 1.5, 3}, 0.47}, {chance{12, 6, 0.6, 2.5}, 0.95}, {chance{12, 6, 1.5, 2.5}, 0.32},
	} {
		if hard := c.fast >= 2*c.off && c.wide > 1; !*long && !hard && k != 0 && k != 3 && k != 5 {
			continue
		}
		right, said := c.shares(foundSeed+uint64(k), bullpens, most)
		t.Logf("%d + %d at %.1f spreads, change-ups scatter %.1f times as much: found rightly in %.1f %%, something said in %.1f %%", c.fast, c.off, c.by, c.wide, 100*right, 100*said)
		if by := 2.5 * math.Sqrt(c.least*(1-c.least)/float64(bullpens)); right < c.least-by {
			t.Errorf("%d + %d at %.1f spreads: found in %.1f %%, want %.0f", c.fast, c.off, c.by, 100*right, 100*c.least)
		}
	}
}

// What is said to be visible is found about four times in five.
func TestVisible(t *testing.T) {
	bullpens, most := 120, 199
	if *long {
		bullpens, most = 1000, 399
	}
	for k, c := range []chance{{4, 4, 1, 0}, {6, 6, 1, 0}, {8, 8, 1, 0}, {12, 6, 1, 0}} {
		if !*long && k%2 == 0 {
			continue
		}
		dice := rand.New(rand.NewPCG(uint64(k), 80))
		seen, size := 0.0, 0.0
		for range bullpens {
			fast, off, measure, from := c.bullpen(dice)
			nothing, _ := find(fast, off, make([]float64, chanceMeasures), Origin{}, most)
			by := nothing.Visible[measure][from+chanceRun/2]
			size += by / float64(bullpens)
			fast, off, measure, from = c.bullpen(dice)
			for _, d := range off {
				for s := range chanceRun {
					d[measure][from+s] += by
				}
			}
			found, _ := find(fast, off, make([]float64, chanceMeasures), Origin{}, most)
			for _, x := range found.Tells {
				if x.Measure == measure && x.Step >= from-1 && x.Step < from+chanceRun {
					seen += 1 / float64(bullpens)
					break
				}
			}
		}
		t.Logf("%d + %d: %.1f spreads are visible on average, and found in %.1f %%", c.fast, c.off, size, 100*seen)
		if by := 2.5 * math.Sqrt(0.8*0.2/float64(bullpens)); seen < 0.8-by {
			t.Errorf("%d + %d: what is said to be visible is found in %.1f %%", c.fast, c.off, 100*seen)
		}
	}
}
