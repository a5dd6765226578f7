package tempo

import (
	"flag"
	"fmt"
	"math"
	"os"
	"testing"
	"text/tabwriter"

	"gonum.org/v1/gonum/stat"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
)

var (
	films     = flag.Int("films", 3, "BenchmarkAcceptance: seeds of every condition")
	filmsMain = flag.Bool("films.main", false, "BenchmarkAcceptance: only the conditions that the figures are for")
	filmsKeep = flag.String("films.keep", "", "BenchmarkAcceptance: a folder to keep the films' motion in, so that a second run draws none anew")
	filmsSeed = flag.Uint64("films.seed", 1, "BenchmarkAcceptance: where seeds begin; never those that the method was tuned on")
)

// tempos are what a session's off-speed reps do, and what should be said of it.
var tempos = []struct {
	tempo   demo.Tempo
	stretch float64
	want    Verdict
}{
	{demo.Same, 1, SameBody},
	{demo.Body, 1.05, SlowedBody},
	{demo.Body, 1.10, SlowedBody},
	{demo.Body, 1.15, SlowedBody},
	{demo.ArmEarly, 1.15, SlowedArm},
	{demo.ArmLate, 1.15, SlowedArm},
}

// conditions are how sessions are filmed: eight fastballs and eight change-ups in
// turn, hand-held, noisy.
var conditions = []struct {
	name   string
	main   bool // the conditions that the acceptance figures are for
	change func(*demo.Options)
}{
	{"side 60", true, func(o *demo.Options) {}},
	{"side 30", true, func(o *demo.Options) { o.Pace = demo.FPS(30, 1) }},
	{"diagonal 60", true, func(o *demo.Options) { o.View = bullpen.ViewDiagonal }},
	{"diagonal 30", true, func(o *demo.Options) { o.View, o.Pace = bullpen.ViewDiagonal, demo.FPS(30, 1) }},
	{"side 30, jitter x1.5", false, func(o *demo.Options) { o.Pace, o.Jitter = demo.FPS(30, 1), 1.5 }},
	{"side 30, stiff finish", false, func(o *demo.Options) {
		o.Pace = demo.FPS(30, 1)
		for i := range o.Reps {
			o.Reps[i].Stiff = o.Reps[i].Pitch != bullpen.Fastball
		}
	}},
	{"side 30, posture", false, posture(1, func(o *demo.Options) { o.Pace = demo.FPS(30, 1) })},
	{"side 60, half a posture", false, posture(0.5, func(o *demo.Options) {})},
	{"diagonal 30, posture x1.5", false, posture(1.5, func(o *demo.Options) { o.View, o.Pace = bullpen.ViewDiagonal, demo.FPS(30, 1) })},
	{"diagonal 60, posture", false, posture(1, func(o *demo.Options) { o.View = bullpen.ViewDiagonal })},
	{"side 60, posture the other way", false, posture(-0.7, func(o *demo.Options) {})},
	{"side 30, every 6th doubled", false, func(o *demo.Options) {
		o.Pace, o.Doubled = demo.FPS(30, 1), 6
		o.Rest = 4.57 // so that reps fall on all phases of the cadence
	}},
	{"behind 30", false, func(o *demo.Options) { o.View, o.Pace = bullpen.ViewBehind, demo.FPS(30, 1) }},
}

// posture gives every off-speed pitch a posture of its own, so much of it.
func posture(much float64, change func(*demo.Options)) func(*demo.Options) {
	return func(o *demo.Options) {
		change(o)
		for i := range o.Reps {
			if o.Reps[i].Pitch != bullpen.Fastball {
				o.Reps[i].Posture = much
			}
		}
	}
}

func sessionOf(seed uint64, tempo demo.Tempo, stretch float64) demo.Options {
	return demo.Options{
		Seed: seed, Reps: demo.Series(8, 8, tempo, stretch), Rest: 4.6, Steady: true,
		Handheld: 4, Noise: 5, Sound: demo.Sound{Off: true},
	}
}

// tally is what became of several films.
type tally struct {
	films                                        int
	legs, legsTrue, arm, armTrue, whole          []float64
	legsSD, armSD                                []float64
	events                                       [4][]float64
	right, open, wrong, covered, falseBody, poor int
	sure, near                                   int
	few                                          struct{ films, right, open, wrong, covered, falseBody int }
}

func (a *tally) add(s seen, few []seen, want Verdict) {
	a.films++
	a.legs, a.legsTrue = append(a.legs, s.legs), append(a.legsTrue, s.legsTrue)
	a.arm, a.armTrue = append(a.arm, s.arm), append(a.armTrue, s.armTrue)
	a.whole = append(a.whole, s.whole)
	a.legsSD, a.armSD = append(a.legsSD, s.legsSD), append(a.armSD, s.armSD)
	for k, e := range s.events {
		a.events[k] = append(a.events[k], e)
	}
	a.poor += s.poor
	a.sure, a.near = a.sure+s.sure, a.near+s.near
	count := func(s seen, right, open, wrong, covered, falseBody *int) {
		switch s.check.Verdict {
		case want:
			*right++
		case CantTell:
			*open++
		default:
			*wrong++
		}
		if s.check.Verdict == SlowedBody && s.legsSet == 0 {
			*falseBody++
		}
		if s.legsLow <= s.legsSet && s.legsSet <= s.legsHigh {
			*covered++
		}
	}
	count(s, &a.right, &a.open, &a.wrong, &a.covered, &a.falseBody)
	for _, s := range few {
		a.few.films++
		count(s, &a.few.right, &a.few.open, &a.few.wrong, &a.few.covered, &a.few.falseBody)
	}
}

func worst(got, truth []float64) float64 {
	var w float64
	for i := range got {
		if d := got[i] - truth[i]; math.Abs(d) > math.Abs(w) {
			w = d
		}
	}
	return w
}

// look films a session, unless it was kept, and runs everything on it.
func look(tb testing.TB, o demo.Options) (seen, []seen) {
	f := film(tb, o)
	s := f.transfer(tb, o.Seed)
	return s, []seen{f.some(0, 4, 3).transfer(tb, o.Seed), f.some(4, 4, 3).transfer(tb, o.Seed)}
}

// BenchmarkAcceptance films many bullpens and prints how often the check is right:
//
//	go test ./internal/tempo -run '^$' -bench Acceptance -benchtime 1x -films 4 -films.seed 9000
//
// A minute or two for each seed on one core. It prints, and holds no figure to anything.
func BenchmarkAcceptance(b *testing.B) {
	for b.Loop() {
		accept(b, look)
	}
}

func accept(b testing.TB, look func(testing.TB, demo.Options) (seen, []seen)) {
	w := tabwriter.NewWriter(os.Stderr, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "film\ttempo\tn\tlegs true\test\tworst\tarm true\test\tworst\twhole\trep legs %\tarm %\tdrive ms\tplant\ttop\trel.\tright\topen\twrong\tcover\tunfound\tsure\tfar\t4+3: right\topen\twrong\tcover\t")
	var main, all tally
	for ci, c := range conditions {
		if *filmsMain && !c.main {
			continue
		}
		for mi, m := range tempos {
			var a tally
			for k := range *films {
				o := sessionOf(*filmsSeed+uint64(1000*k+len(tempos)*ci+mi), m.tempo, m.stretch)
				c.change(&o)
				s, few := look(b, o)
				a.add(s, few, m.want)
				all.add(s, few, m.want)
				if c.main {
					main.add(s, few, m.want)
				}
			}
			fmt.Fprintf(w, "%s\t%s %.2f\t%d\t%.3f\t%.3f\t%+.3f\t%.3f\t%.3f\t%+.3f\t%.3f\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t%d\t%d\t%d\t%d\t%d\t%d\t%d\t%d\t%d\t%d\t%d\t\n",
				c.name, m.tempo, m.stretch, a.films,
				stat.Mean(a.legsTrue, nil), stat.Mean(a.legs, nil), worst(a.legs, a.legsTrue),
				stat.Mean(a.armTrue, nil), stat.Mean(a.arm, nil), worst(a.arm, a.armTrue), stat.Mean(a.whole, nil),
				100*stat.Mean(a.legsSD, nil), 100*stat.Mean(a.armSD, nil),
				stat.Mean(a.events[0], nil), stat.Mean(a.events[1], nil), stat.Mean(a.events[2], nil), stat.Mean(a.events[3], nil),
				a.right, a.open, a.wrong, a.covered, a.poor, a.sure, a.sure-a.near, a.few.right, a.few.open, a.few.wrong, a.few.covered)
			w.Flush()
		}
	}
	for _, t := range []struct {
		name string
		tally
	}{{"side and diagonal", main}, {"all", all}} {
		fmt.Fprintf(os.Stderr, "%s: %d films, right %d, can't tell %d, wrong %d, slowed body where it was not %d, covered %d; of %d sure instants %d further off than a frame; 4+3: %d, wrong %d, slowed body where it was not %d, covered %d\n",
			t.name, t.films, t.right, t.open, t.wrong, t.falseBody, t.covered, t.sure, t.sure-t.near, t.few.films, t.few.wrong, t.few.falseBody, t.few.covered)
	}
}
