package tempo

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"text/tabwriter"

	"gonum.org/v1/gonum/stat"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/demo/demotest"
)

var (
	films     = flag.Int("films", 3, "BenchmarkAcceptance: seeds of every condition")
	filmsMain = flag.Bool("films.main", false, "BenchmarkAcceptance: only the conditions that the figures are for")
	filmsOnly = flag.String("films.only", "", "BenchmarkAcceptance: only conditions whose name has this")
	filmsKeep = flag.String("films.keep", "", "BenchmarkAcceptance: a folder to keep the films' motion in, so that a second run draws none anew")
	filmsSeed = flag.Uint64("films.seed", 1, "BenchmarkAcceptance: where seeds begin; never those that the method was tuned on")
)

// aim is what a session's off-speed reps do, and what should be said of it.
type aim struct {
	tempo   demo.Tempo
	stretch float64
	want    Verdict
}

var aims = []aim{
	{demo.Same, 1, SameBody},
	{demo.Body, 1.05, SlowedBody},
	{demo.Body, 1.10, SlowedBody},
	{demo.Body, 1.15, SlowedBody},
	{demo.ArmEarly, 1.15, SlowedArm},
	{demo.ArmLate, 1.15, SlowedArm},
}

// The conditions that figures of their own are for.
const (
	wild   = "side 30, jitter x1.5"
	braked = "side 30, stiff finish"
	twice  = "side 30, every 6th doubled"
)

// condition is how sessions are filmed.
type condition struct {
	name   string
	main   bool // the conditions that the acceptance figures are for
	change func(*demo.Options)
}

// conditions are of eight fastballs and eight change-ups in turn, hand-held, noisy.
var conditions = []condition{
	{"side 60", true, func(o *demo.Options) {}},
	{"side 30", true, func(o *demo.Options) { o.Pace = demo.FPS(30, 1) }},
	{"diagonal 60", true, func(o *demo.Options) { o.View = bullpen.ViewDiagonal }},
	{"diagonal 30", true, func(o *demo.Options) { o.View, o.Pace = bullpen.ViewDiagonal, demo.FPS(30, 1) }},
	{wild, false, func(o *demo.Options) { o.Pace, o.Jitter = demo.FPS(30, 1), 1.5 }},
	{braked, false, func(o *demo.Options) {
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
	{twice, false, func(o *demo.Options) {
		o.Pace, o.Doubled = demo.FPS(30, 1), 6
		o.Rest = 4.57 // so that reps fall on all phases of the cadence
	}},
	{"behind 30", false, func(o *demo.Options) { o.View, o.Pace = bullpen.ViewBehind, demo.FPS(30, 1) }},
	{"behind 60", false, func(o *demo.Options) { o.View = bullpen.ViewBehind }},
	{"side 120", false, func(o *demo.Options) { o.Pace = demo.FPS(120, 1) }},
	{"side 60 upright", false, func(o *demo.Options) { o.Portrait = true }},
	{"side 240 slowed 8 times", false, func(o *demo.Options) { o.Pace, o.Slow = demo.FPS(240, 1), 8 }},
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

// outcome is what became of one film.
type outcome struct {
	condition
	aim
	seen        // of all its reps
	few  []seen // of four fastballs and three others
}

// timed says whether the legs could be timed; where they could not, nothing is said of them.
func (s seen) timed() bool { return !math.IsNaN(s.legs) }

// covers says whether the legs' interval holds what was set.
func (s seen) covers() bool { return s.legsLow <= s.legsSet && s.legsSet <= s.legsHigh }

// outcomes are what became of several films.
type outcomes []outcome

func (all outcomes) of(keep func(outcome) bool) outcomes {
	var some outcomes
	for _, o := range all {
		if keep(o) {
			some = append(some, o)
		}
	}
	return some
}

// timed are those in which the legs could be timed: what is said of legs is counted over
// these, whatever became of the arm.
func (all outcomes) timed() outcomes {
	return all.of(func(o outcome) bool { return o.seen.timed() })
}

// armTimed are those in which the arm could be timed.
func (all outcomes) armTimed() outcomes {
	return all.of(func(o outcome) bool { return !math.IsNaN(o.arm) })
}

func (all outcomes) in(name string) outcomes {
	return all.of(func(o outcome) bool { return o.name == name })
}

// few are the outcomes with four fastballs and three others instead of all reps.
func (all outcomes) withFew() outcomes {
	var some outcomes
	for _, o := range all {
		for _, s := range o.few {
			some = append(some, outcome{o.condition, o.aim, s, nil})
		}
	}
	return some
}

func (all outcomes) count(is func(outcome) bool) int { return len(all.of(is)) }

// share is of how many of 100 films something is so.
func (all outcomes) share(is func(outcome) bool) float64 {
	return 100 * float64(all.count(is)) / float64(len(all))
}

func (all outcomes) each(value func(outcome) float64) []float64 {
	out := make([]float64, len(all))
	for i, o := range all {
		out[i] = value(o)
	}
	return out
}

func (all outcomes) mean(value func(outcome) float64) float64 {
	return stat.Mean(all.each(value), nil)
}

// worst is the value that is furthest from 0, with its sign.
func (all outcomes) worst(value func(outcome) float64) float64 {
	var w float64
	for _, v := range all.each(value) {
		if math.Abs(v) > math.Abs(w) || math.IsNaN(v) {
			w = v
		}
	}
	return w
}

// pooled is the root of the mean square.
func (all outcomes) pooled(value func(outcome) float64) float64 {
	return math.Sqrt(all.mean(func(o outcome) float64 { return value(o) * value(o) }))
}

func (o outcome) right() bool     { return o.check.Verdict == o.want }
func (o outcome) open() bool      { return o.check.Verdict == CantTell }
func (o outcome) wrong() bool     { return !o.right() && !o.open() }
func (o outcome) falseBody() bool { return o.check.Verdict == SlowedBody && o.legsSet == 0 }
func (o outcome) body() bool      { return o.tempo == demo.Body }
func (o outcome) armOnly() bool   { return o.tempo == demo.ArmEarly || o.tempo == demo.ArmLate }
func (o outcome) legsOff() float64 {
	return o.legs - o.legsTrue
}
func (o outcome) armOff() float64 { return o.arm - o.armTrue }

// figures are what the films come to, beside what they have to.
func (all outcomes) figures() []demotest.Figure {
	var out []demotest.Figure
	atLeast := func(what string, limit, measured float64, of outcomes) {
		out = append(out, demotest.AtLeast(what, limit, measured, len(of)))
	}
	atMost := func(what string, limit, measured float64, of outcomes) {
		out = append(out, demotest.AtMost(what, limit, measured, len(of)))
	}
	main := all.of(func(o outcome) bool { return o.main })
	body := main.of(func(o outcome) bool { return o.body() })
	kept := main.of(func(o outcome) bool { return !o.body() })
	slower := func(stretch float64) outcomes {
		return body.of(func(o outcome) bool { return o.stretch == stretch })
	}
	whole := main.of(func(o outcome) bool { return !o.armOnly() })
	arms := main.of(outcome.armOnly)
	late := main.of(func(o outcome) bool { return o.tempo == demo.ArmLate })

	atMost("legs' contrast, body 0 to 15 % slower: furthest off, log", 0.02, math.Abs(whole.timed().worst(outcome.legsOff)), whole.timed())
	atMost("legs' contrast, arm alone slower: furthest off, log", 0.035, math.Abs(arms.timed().worst(outcome.legsOff)), arms.timed())
	atMost("arm's contrast: furthest off, log", 0.04, math.Abs(main.armTimed().worst(outcome.armOff)), main.armTimed())
	legsSD := func(o outcome) float64 { return 100 * o.legsSD }
	atMost("legs' time of one rep: SD of its error, %", 1.2, main.timed().pooled(legsSD), main.timed())
	atMost("the same where reps are 1.5 times as unlike", 2.2, all.in(wild).timed().pooled(legsSD), all.in(wild).timed())
	atMost("slowed body said, legs the same: films", 0, float64(kept.count(outcome.falseBody)), kept)
	atLeast("verdict right, body 15 % slower, % of films", 95, slower(1.15).share(outcome.right), slower(1.15))
	atLeast("verdict right, body 10 % slower, %", 60, slower(1.10).share(outcome.right), slower(1.10))
	atMost("verdict wrong, body 10 % slower: films", 0, float64(slower(1.10).count(outcome.wrong)), slower(1.10))
	atLeast("verdict right, same body or arm alone slower, %", 60, kept.share(outcome.right), kept)
	atMost("verdict wrong, %", 2, main.share(outcome.wrong), main)
	atMost("verdict wrong, of all conditions, %", 2, all.share(outcome.wrong), all)
	atMost("verdict wrong, 4+3 reps of all conditions, %", 2, all.withFew().share(outcome.wrong), all.withFew())
	covered := func(what string, of outcomes) {
		atLeast(what, 93, of.timed().share(func(o outcome) bool { return o.covers() }), of.timed())
	}
	covered("legs' interval holds what was set, %", main)
	covered("the same of all conditions, %", all)
	covered("the same with 4+3 reps, %", main.withFew())
	covered("the same with 4+3 reps of all conditions, %", all.withFew())
	atMost("arm late: legs' contrast, furthest from 0, log", 0.035, math.Abs(late.timed().worst(func(o outcome) float64 { return o.legs })), late.timed())
	atLeast("arm late: one stretch for all, mean, log", 0.08, late.mean(func(o outcome) float64 { return o.whole }), late)
	atMost("stiff finish: arm's contrast, furthest off, log", 0.03, math.Abs(all.in(braked).armTimed().worst(outcome.armOff)), all.in(braked).armTimed())
	behind := all.of(func(o outcome) bool { return strings.HasPrefix(o.name, "behind") })
	covered("from behind: legs' interval holds what was set, %", behind)
	atMost("from behind: slowed body said, legs the same: films", 0, float64(behind.count(outcome.falseBody)), behind)
	atMost("every 6th frame doubled: legs' contrast, furthest off, log", 0.03, math.Abs(all.in(twice).timed().worst(outcome.legsOff)), all.in(twice).timed())
	sure, near := 0, 0
	for _, o := range all {
		sure, near = sure+o.sure, near+o.near
	}
	return append(out, demotest.AtLeast("instants found that lie within as many frames as is said, %", 99, 100*float64(near)/float64(sure), sure))
}

// look films a session, unless it was kept, and runs everything on it.
func look(tb testing.TB, o demo.Options) (seen, []seen) {
	f := film(tb, o)
	s := f.transfer(tb, o.Seed)
	return s, []seen{f.some(0, 4, 3).transfer(tb, o.Seed), f.some(4, 4, 3).transfer(tb, o.Seed)}
}

// BenchmarkAcceptance films many bullpens and prints how often the check is right, and
// the figures that it is held to beside what they came to:
//
//	go test ./internal/tempo -run '^$' -bench Acceptance -benchtime 1x -films 4 -films.seed 9000 -timeout 60m
//
// Ten minutes for each seed on one core. It prints, and fails on no figure.
func BenchmarkAcceptance(b *testing.B) {
	for b.Loop() {
		accept(b, look)
	}
}

func accept(b testing.TB, look func(testing.TB, demo.Options) (seen, []seen)) {
	w := tabwriter.NewWriter(os.Stderr, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "film\ttempo\tn\tlegs true\test\tworst\tarm true\test\tworst\twhole\trep legs %\tarm %\tdrive ms\tplant\ttop\trel.\tright\topen\twrong\tcover\tuntimed\tunfound\tsure\tfar\t4+3: right\topen\twrong\tcover\tuntimed\t")
	var all outcomes
	for ci, c := range conditions {
		if *filmsMain && !c.main || !strings.Contains(c.name, *filmsOnly) {
			continue
		}
		for mi, m := range aims {
			var of outcomes
			for k := range *films {
				o := sessionOf(*filmsSeed+uint64(1000*k+len(aims)*ci+mi), m.tempo, m.stretch)
				c.change(&o)
				s, few := look(b, o)
				of = append(of, outcome{c, m, s, few})
			}
			fmt.Fprintf(w, "%s\t%s %.2f\t%s\n", c.name, m.tempo, m.stretch, of.row())
			w.Flush()
			all = append(all, of...)
		}
	}
	figures := all.figures()
	if *filmsMain || *filmsOnly != "" {
		figures = demotest.Measured(figures)
	}
	demotest.Print(os.Stderr, figures)
}

// row is a line of the table, of films alike.
func (all outcomes) row() string {
	var cells []string
	add := func(format string, v ...any) { cells = append(cells, fmt.Sprintf(format, v...)) }
	timed, armTimed := all.timed(), all.armTimed()
	add("%d", len(all))
	add("%.3f", timed.mean(func(o outcome) float64 { return o.legsTrue }))
	add("%.3f", timed.mean(func(o outcome) float64 { return o.legs }))
	add("%+.3f", timed.worst(outcome.legsOff))
	add("%.3f", armTimed.mean(func(o outcome) float64 { return o.armTrue }))
	add("%.3f", armTimed.mean(func(o outcome) float64 { return o.arm }))
	add("%+.3f", armTimed.worst(outcome.armOff))
	add("%.3f", all.mean(func(o outcome) float64 { return o.whole }))
	add("%.1f", timed.mean(func(o outcome) float64 { return 100 * o.legsSD }))
	add("%.1f", armTimed.mean(func(o outcome) float64 { return 100 * o.armSD }))
	for k := range instants {
		of := timed
		if k >= 2 { // top and release are the arm's
			of = armTimed
		}
		add("%.1f", of.mean(func(o outcome) float64 { return o.events[k] }))
	}
	verdicts := func(of outcomes) {
		for _, is := range []func(outcome) bool{outcome.right, outcome.open, outcome.wrong, func(o outcome) bool { return o.covers() }} {
			add("%d", of.count(is))
		}
		add("%d", len(of)-len(of.timed()))
	}
	verdicts(all)
	unfound, sure, far := 0, 0, 0
	for _, o := range all {
		unfound, sure, far = unfound+o.poor, sure+o.sure, far+o.sure-o.near
	}
	add("%d\t%d\t%d", unfound, sure, far)
	verdicts(all.withFew())
	return strings.Join(cells, "\t") + "\t"
}
