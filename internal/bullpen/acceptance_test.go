package bullpen

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
)

var (
	long     = flag.Bool("long", false, "simulate many bullpens, every kind by itself, and print the table")
	simSeed  = flag.Uint64("seed", 1, "of the simulated bullpens: not one that was looked at while tuning, when the table is reported")
	simulate = flag.Int("bullpens", 1000, "of each kind, with -long")
	only     = flag.String("only", "", "regular expression for the names of the kinds to simulate, with -long; all of them without it")
	earlier  = flag.Int("earlier", 0, "bullpens of each simulated pitcher before, which teach her own spread, with -long")
)

// manner is a kind of bullpen to simulate.
type manner struct {
	order     string  // blocked, interleaved or random
	fast, off int     // reps
	drift     float64 // mph lost over 60 reps
	fastSD    float64 // mph; the off-speed pitch's is ratio times it
	ratio     float64
	echo      float64 // autocorrelation from rep to rep
	heavy     bool    // errors are Student's t with 4 degrees of freedom, of the same deviation
	earlier   int     // bullpens of hers before
}

// taught is what so many bullpens before say of her.
func (k manner) taught(earlier int, dice *rand.Rand) Spreads {
	var of []Spreads
	for range earlier {
		of = append(of, SpreadsIn(pen, k.throw(dice).reps))
	}
	return PooledSpreads(of)
}

// practice is a simulated bullpen, and the next change-up.
type practice struct {
	reps []Rep
	gap  float64 // true
	next float64 // what the gun will show
}

func (k manner) throw(dice *rand.Rand) practice {
	n := k.fast + k.off
	off := make([]bool, n)
	for i := range off {
		off[i] = i >= k.fast
	}
	switch k.order {
	case "random":
		dice.Shuffle(n, func(i, j int) { off[i], off[j] = off[j], off[i] })
	case "interleaved":
		slow := 0
		for i := range off {
			off[i] = slow*k.fast < (i-slow)*k.off || i-slow == k.fast
			if off[i] {
				slow++
			}
		}
	}
	p := practice{gap: 5 + 12*dice.Float64()}
	level, e := 50+10*dice.Float64(), 0.0
	speed := func(i int, off bool) float64 {
		z := dice.NormFloat64()
		if k.heavy {
			var squares float64
			for range 4 {
				x := dice.NormFloat64()
				squares += x * x
			}
			z /= math.Sqrt(squares/4) * math.Sqrt2
		}
		if i == 0 {
			e = z
		} else {
			e = k.echo*e + math.Sqrt(1-k.echo*k.echo)*z
		}
		v := level - k.drift*float64(i)/60 + k.fastSD*e
		if off {
			v = level - p.gap - k.drift*float64(i)/60 + k.fastSD*k.ratio*e
		}
		return max(1, math.Round(v)) // a heavy tail may reach past standing still
	}
	for i, isOff := range off {
		pitch := Fastball
		if isOff {
			pitch = ChangeUp
		}
		p.reps = append(p.reps, Rep{ID: fmt.Sprint(i), Order: i + 1, Pitch: pitch, Sure: true, Reading: &Reading{Value: speed(i, isOff)}})
	}
	p.next = speed(n, true)
	return p
}

// tally counts what was said of simulated bullpens and what was so.
type tally struct {
	all, within1, within2 int // gaps, and those within u and 2u
	firm, wrong           int // verdicts without "so far" or "on the edge"
	soFar, edge           int // those with, of which both is soFar
	said, happened        [10]float64
	chances               [10]int
}

func (c *tally) add(t testing.TB, k manner, dice *rand.Rand) {
	p, pen := k.throw(dice), pen
	pen.Spreads = k.taught(k.earlier, dice)
	for _, s := range Judge(kim(), pen, nil, p.reps).Summaries {
		if s.Pitch != ChangeUp {
			continue
		}
		far := math.Abs(float64(s.MeanGap.MPH) - p.gap)
		c.all++
		if far <= float64(*s.StandardError) {
			c.within1++
		}
		if far <= 2*float64(*s.StandardError) {
			c.within2++
		}
		switch {
		case s.SoFar:
			c.soFar++
		case s.OnEdge:
			c.edge++
		default:
			c.firm++
			if s.Verdict != (Edges{8, 12, 15}).verdict(Speed(p.gap)) {
				c.wrong++
			}
		}
		if s.NextInBand != nil {
			decile := min(9, int(10**s.NextInBand))
			c.chances[decile]++
			c.said[decile] += *s.NextInBand
			if p.next >= float64(s.Aim.Lo) && p.next <= float64(s.Aim.Hi) {
				c.happened[decile]++
			}
		}
		return
	}
	t.Fatal("no change-up")
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func percent(k, n int) float64 { return 100 * float64(k) / math.Max(1, float64(n)) }

// population draws a pitcher: her spread log-uniform from 0.8 to 3.5 mph over both
// pitches, the change-up's half as much again, any order and any drift.
func population(n [2]int, dice *rand.Rand) manner {
	return manner{
		order: []string{"blocked", "interleaved", "random"}[dice.IntN(3)], fast: n[0], off: n[1],
		drift: []float64{0, 1.5, 3}[dice.IntN(3)], fastSD: 0.8 * math.Pow(3.5/1.5/0.8, dice.Float64()), ratio: 1.5,
		earlier: *earlier,
	}
}

var sizes = [][2]int{{1, 1}, {2, 2}, {3, 3}, {6, 8}, {10, 10}, {30, 30}}

// What is said of a gap is as sure as it is said to be, over simulated pitchers whose
// truth is known. The limits are those the page's words promise: +-2u holds the truth in
// 93 of 100 at least, +-u in 65 to 85 (wider with one of each, where nothing is known of
// her spread), a firm verdict is wrong in 7 of 100 at most, and a chance is within 7 points
// of what happens. Here at small size, and so with room for luck; -long prints every kind.
func TestAsSureAsItIsSaid(t *testing.T) {
	if *long {
		t.Skip("TestEveryKindOfBullpen does more")
	}
	dice := rand.New(rand.NewPCG(1, 1))
	var chances tally
	for _, n := range sizes {
		var c tally
		for i := range 700 { // first bullpens, and later ones
			k := population(n, dice)
			k.earlier = i % 3
			c.add(t, k, dice)
		}
		t.Logf("%d + %d: %.1f / %.1f %% within u / 2u, %.1f %% of %d firm verdicts wrong", n[0], n[1], percent(c.within1, c.all), percent(c.within2, c.all), percent(c.wrong, c.firm), c.firm)
		if got := percent(c.within2, c.all); got < 93-2 {
			t.Errorf("%d + %d: +-2u holds %.1f %%", n[0], n[1], got)
		}
		if got := percent(c.within1, c.all); got < 65-3 || got > 85+4 {
			t.Errorf("%d + %d: +-u holds %.1f %%", n[0], n[1], got)
		}
		if got := percent(c.wrong, c.firm); got > 7 {
			t.Errorf("%d + %d: %.1f %% of %d firm verdicts are wrong", n[0], n[1], got, c.firm)
		}
		for i := range c.chances {
			chances.chances[i] += c.chances[i]
			chances.said[i] += c.said[i]
			chances.happened[i] += c.happened[i]
		}
	}
	for i, n := range chances.chances {
		if far := math.Abs(chances.said[i]-chances.happened[i]) / math.Max(1, float64(n)); n >= 100 && far > 0.07+2*0.5/math.Sqrt(float64(n)) {
			t.Errorf("chances of %d to %d %%: said %.3f, happened %.3f of %d", 10*i, 10*i+10, chances.said[i]/float64(n), chances.happened[i]/float64(n), n)
		}
	}
}

// TestEveryKindOfBullpen prints, with -long, what TestAsSureAsItIsSaid tests, for every
// manner by itself.
func TestEveryKindOfBullpen(t *testing.T) {
	if !*long {
		return // the small one above holds the same limits
	}
	dice, wanted := rand.New(rand.NewPCG(*simSeed, 2)), regexp.MustCompile(*only)
	var chances tally
	var sums struct {
		rows, over int     // kinds with firm verdicts in 2 of 100, and those of which more than 7 of 100 are wrong
		clear      int     // those whose 95 % interval lies over 7 as a whole
		most       float64 // per cent wrong
		all        tally
	}
	defer func() {
		t.Logf("more than 7 %% of the firm verdicts are wrong in %d of %d kinds (by more than luck in %d), at most %.1f %%; of all bullpens %.1f %% so far, %.1f %% on an edge, %.1f %% firm, of which %.2f %% are wrong",
			sums.over, sums.rows, sums.clear, sums.most, percent(sums.all.soFar, sums.all.all), percent(sums.all.edge, sums.all.all), percent(sums.all.firm, sums.all.all), percent(sums.all.wrong, sums.all.firm))
	}()
	row := func(name string, draw func() manner, floor1, floor2 float64) {
		if !wanted.MatchString(name) {
			return
		}
		var c tally
		for range *simulate {
			c.add(t, draw(), dice)
		}
		one, two, wrong := percent(c.within1, c.all), percent(c.within2, c.all), percent(c.wrong, c.firm)
		mark, luck := "", Share{}
		if c.firm > 0 {
			luck = Wilson(c.wrong, c.firm, 0.95)
		}
		slack := 100 * 1.65 * math.Sqrt(0.25/float64(c.all)) // luck, 1 in 20
		if one < floor1-slack || two < floor2-slack || wrong > 7 && c.firm > 50 && wrong-165*math.Sqrt(0.07*0.93/float64(c.firm)) > 7 {
			mark = "  <--"
			t.Errorf("%s: %.0f/%.0f, %.1f %% of %d wrong", name, one, two, wrong, c.firm)
		}
		t.Logf("%-58s %5.1f / %5.1f   so far %4.0f %%, edge %4.0f %%, firm %4.1f %%, wrong %4.1f %% (%.1f to %.1f) of %d%s", name, one, two, percent(c.soFar, c.all), percent(c.edge, c.all), percent(c.firm, c.all), wrong, 100*luck.Lo, 100*luck.Hi, c.firm, mark)
		if c.firm >= *simulate/50 { // of fewer a share says little
			sums.rows++
			sums.over += btoi(wrong > 7)
			sums.clear += btoi(luck.Lo > 0.07)
			sums.most = max(sums.most, wrong)
		}
		sums.all.all += c.all
		sums.all.soFar += c.soFar
		sums.all.edge += c.edge
		sums.all.firm += c.firm
		sums.all.wrong += c.wrong
		for i := range c.chances {
			chances.chances[i] += c.chances[i]
			chances.said[i] += c.said[i]
			chances.happened[i] += c.happened[i]
		}
	}
	for _, n := range sizes {
		row(fmt.Sprintf("population, %d + %d", n[0], n[1]), func() manner { return population(n, dice) }, 65, 93)
	}
	deciles := func(name string) {
		for i, n := range chances.chances {
			if n > 0 {
				t.Logf("%s, chance said %4.1f %%, happened %4.1f %% of %d", name, 100*chances.said[i]/float64(n), 100*chances.happened[i]/float64(n), n)
			}
		}
		chances = tally{}
	}
	deciles("population")
	for _, n := range sizes {
		for _, order := range []string{"blocked", "interleaved", "random"} {
			for _, drift := range []float64{0, 1.5, 3} {
				for _, sd := range []float64{0.8, 1.2, 3.5 / 1.5} {
					for _, echo := range []float64{0, 0.4} {
						for _, heavy := range []bool{false, true} {
							k := manner{order, n[0], n[1], drift, sd, 1.5, echo, heavy, *earlier}
							floor := 83.0
							if order == "blocked" && echo > 0 {
								floor = 79
							}
							words := []string{fmt.Sprintf("%s %d + %d, drift %v, SD %.1f/%.1f", order, n[0], n[1], drift, sd, 1.5*sd)}
							if echo > 0 {
								words = append(words, "echo")
							}
							if heavy {
								words = append(words, "heavy")
							}
							row(strings.Join(words, ", "), func() manner { return k }, 50, floor)
						}
					}
				}
			}
		}
	}
	deciles("cells")
	for _, ratio := range []float64{1, 2} {
		for _, n := range sizes[2:] {
			row(fmt.Sprintf("change-up's spread %v times, %d + %d", ratio, n[0], n[1]), func() manner {
				k := population(n, dice)
				k.ratio = ratio
				return k
			}, 50, 83)
		}
		deciles(fmt.Sprintf("ratio %v", ratio))
	}
}
