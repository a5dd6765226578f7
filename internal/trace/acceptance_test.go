package trace

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/demo/demotest"
)

var (
	films     = flag.Int("films", 1, "BenchmarkAcceptance: seeds of every condition")
	filmsSeed = flag.Uint64("films.seed", 1, "BenchmarkAcceptance: where seeds begin; never those that the method was tuned on")
	filmsOnly = flag.String("films.only", "", "BenchmarkAcceptance: only conditions whose name has this")
	filmsKeep = flag.String("films.keep", "", "BenchmarkAcceptance, BenchmarkSlowMotion: a folder to keep in what was seen and heard of films, so that a second run draws none anew")
)

// filmReps is how many reps each generated film shows.
const filmReps = 16

// conditions are how bullpens are filmed and heard: hand-held with a noisy camera
// unless said, the pop 20 dB over the hiss.
var conditions = []condition{
	{"side 30", true, func(o *demo.Options) { o.Pace = demo.FPS(30, 1) }},
	{"side 60", true, func(o *demo.Options) { o.Pace = demo.FPS(60, 1) }},
	{"diagonal 30", true, func(o *demo.Options) { o.View, o.Pace = bullpen.ViewDiagonal, demo.FPS(30, 1) }},
	{"diagonal 60", true, func(o *demo.Options) { o.View, o.Pace = bullpen.ViewDiagonal, demo.FPS(60, 1) }},
	{"side 30, NTSC, left-handed", true, func(o *demo.Options) { o.Pace, o.Left = demo.FPS(30000, 1001), true }},
	{"side 60, restless arm, trees", true, func(o *demo.Options) { o.Pace, o.RestlessArm, o.Sway = demo.FPS(60, 1), true, 2 }},
	{"diagonal 30, body 12 % slower", true, func(o *demo.Options) {
		o.View, o.Pace, o.Reps = bullpen.ViewDiagonal, demo.FPS(30, 1), demo.Series(filmReps/2, filmReps/2, demo.Body, 1.12)
	}},
	{"side 30, arm 15 % late", true, func(o *demo.Options) {
		o.Pace, o.Reps = demo.FPS(30, 1), demo.Series(filmReps/2, filmReps/2, demo.ArmLate, 1.15)
	}},
	{"side 30, into a net", true, func(o *demo.Options) { o.Pace, o.Sound.Net = demo.FPS(30, 1), true }},
	{"side 30, no sound", true, func(o *demo.Options) { o.Pace, o.Sound.Off = demo.FPS(30, 1), true }},
	{"side 120", false, func(o *demo.Options) { o.Pace = demo.FPS(120, 1) }},
	{"diagonal 240", false, func(o *demo.Options) { o.View, o.Pace = bullpen.ViewDiagonal, demo.FPS(240, 1) }},
	{"side 240 slowed 8 times", false, func(o *demo.Options) { o.Pace, o.Slow = demo.FPS(240, 1), 8 }},
	{"behind 30", false, func(o *demo.Options) { o.View, o.Pace = bullpen.ViewBehind, demo.FPS(30, 1) }},
	{"behind 60", false, func(o *demo.Options) { o.View, o.Pace = bullpen.ViewBehind, demo.FPS(60, 1) }},
	{"side 30, 12 dB, voices, other pops", false, func(o *demo.Options) {
		o.Pace, o.Sound.PopLevel, o.Sound.Voices, o.Sound.OtherPops = demo.FPS(30, 1), 12, true, 4
	}},
	{"diagonal 60, 12 dB, voices, other pops", false, func(o *demo.Options) {
		o.View, o.Pace, o.Sound.PopLevel, o.Sound.Voices, o.Sound.OtherPops = bullpen.ViewDiagonal, demo.FPS(60, 1), 12, true, 4
	}},
	{"side 60, windy 16 dB", false, func(o *demo.Options) {
		o.Pace, o.Sound.PopLevel, o.Sound.Wind = demo.FPS(60, 1), 16, 0.12
	}},
	{"side 30, pan", false, func(o *demo.Options) { o.Pace, o.Pan = demo.FPS(30, 1), 60 }},
	{"side 30, passers-by", false, func(o *demo.Options) { o.Pace, o.PassersBy = demo.FPS(30, 1), 4 }},
	{"diagonal 30, mimics, neighbour", false, func(o *demo.Options) {
		o.View, o.Pace, o.Mimics, o.Neighbour = bullpen.ViewDiagonal, demo.FPS(30, 1), 3, true
	}},
	{"side 30 upright", false, func(o *demo.Options) { o.Pace, o.Portrait = demo.FPS(30, 1), true }},
	{"side 30, jitter x1.5", false, func(o *demo.Options) { o.Pace, o.Jitter = demo.FPS(30, 1), 1.5 }},
	{"side 30, every 6th doubled", false, doubled(6, 30)},
	{"side 60, every 6th doubled", false, doubled(6, 60)},
	{"side 30, every 4th doubled", false, doubled(4, 30)},
	{"diagonal 60 upright", false, func(o *demo.Options) {
		o.View, o.Pace, o.Portrait = bullpen.ViewDiagonal, demo.FPS(60, 1), true
	}},
	{"behind 60 upright", false, func(o *demo.Options) {
		o.View, o.Pace, o.Portrait = bullpen.ViewBehind, demo.FPS(60, 1), true
	}},
	{"behind 120 slowed 4 times", false, func(o *demo.Options) { o.View, o.Pace, o.Slow = bullpen.ViewBehind, demo.FPS(120, 1), 4 }},
}

// doubled re-times a film: one of every so many of its frames is shown twice and another
// left out, and reps fall on all phases of that.
func doubled(every int, fps int64) func(*demo.Options) {
	return func(o *demo.Options) { o.Pace, o.Doubled, o.Rest = demo.FPS(fps, 1), every, 4.57 }
}

type condition struct {
	name   string
	main   bool // the conditions that the acceptance figures are for
	change func(*demo.Options)
}

// tally is what became of films.
type tally struct {
	films                             int
	reps, sure, asked, silent         int
	caught, sureCaught, sureMarked    int // reps of films with pops; of those, sure; and of all once one is marked
	falseSure, falseAsked, mimics     int
	sd                                []float64       // of each film: releases from one mark, seconds
	late                              []float64       // of each release but the marked: seconds, the mark's own error taken off
	frames                            []float64       // and in frames
	found, sureToFrame, near          int             // releases found from one mark; of those, said to be known to a frame, and within as many frames of the truth as is said, the mark's own error taken off
	known                             map[int]knownTo // by real frames a second, what was surely found from one mark
	rough                             []float64       // frames, before any mark
	popped, heard, right              int
	popErrors                         []float64
	onsets, trueOnsets                int
	aubio, aubioOnsets, aubioTrue     int
	calibrates, calibrated            int       // films with pops and five readings on reps that were found; of those, whose readings set the sound's delay
	speeds, framed, inside            []float64 // film speeds' errors, those of nearest frames alone, mph; within twice their uncertainty
	readings, falseFlags              int
	swaps, swapsCaught, eights, eight int
	moved                             float64 // most that an offset of the sound moved a film speed, mph
}

// knownTo is how many releases were found, and how many of them lie as near to the truth as
// their spread says of 99 of 100.
type knownTo struct{ near, of int }

// BenchmarkAcceptance films many bullpens and prints how many reps are found, how
// well one marked release carries over, how many pops are heard, beside aubio on
// the same sound, and what the film speeds are worth; and the figures that the method is
// held to beside what they came to:
//
//	go test ./internal/trace -run '^$' -bench Acceptance -benchtime 1x -films 2 -films.seed 9000 -timeout 60m
//
// It fails where one of them is missed.
func BenchmarkAcceptance(b *testing.B) {
	for b.Loop() {
		accept(b)
	}
}

// columns are the table's, after the film's name: films, reps, sure, asked about,
// lost silently; sure and no rep, asked about and no rep, sure and only mimed;
// rough releases within a frame; releases from one mark: SD in ms, the worst
// film's, within a frame, found, of those said to be known to a frame, and further off than is said; pops heard, and by aubio, onsets that are pops, and
// aubio's, pops chosen rightly, their median and 90 % error in ms; film speed: SD
// in mph, and from the nearest frames alone, share within twice its uncertainty, true readings doubted, swapped digits
// and slips of 8 mph doubted, how far 40 ms of sound move it in mph.
var columns = []string{
	"films", "reps", "sure", "ask", "lost", "false", "f.ask", "mimed", "rough<=1f", "SD ms", "worst", "<=1f %", "found", "to 1f", "far",
	"pops %", "aubio", "prec.%", "aubio", "chosen", "p50 ms", "p90 ms", "mph SD", "framed", "in 2u %", "f.flags", "swaps", "8 mph", "offset",
}

func printRow(name string, cells []string) {
	fmt.Fprintf(os.Stderr, "%-38s", name)
	for i, c := range cells {
		fmt.Fprintf(os.Stderr, " %*s", max(len(columns[i]), 5), c)
	}
	fmt.Fprintln(os.Stderr)
}

func accept(b testing.TB) {
	printRow("film", columns)
	var main, all tally
	var quiet, noisy tally // sound at 20 dB, and at 12
	for ci, c := range conditions {
		if !strings.Contains(c.name, *filmsOnly) {
			continue
		}
		var a tally
		for k := range *films {
			o := demo.Options{
				Seed: *filmsSeed + uint64(1000*k+ci), Reps: pitches(filmReps), Rest: 4.8, Handheld: 4, Noise: 5,
			}
			c.change(&o)
			var one tally
			one.watch(b, c.name, o)
			a.join(one)
			all.join(one)
			if c.main {
				main.join(one)
			}
			if o.Sound.PopLevel == 12 {
				noisy.join(one)
			} else if o.Sound.PopLevel == 0 {
				quiet.join(one)
			}
			if o.Slow <= 1 && one.heard < one.aubio { // a slowed sound is an octave or three lower
				b.Errorf("%s, seed %d: %d pops heard, aubio %d", c.name, o.Seed, one.heard, one.aubio)
			}
			if one.silent > 0 {
				b.Errorf("%s, seed %d: %d reps lost silently", c.name, o.Seed, one.silent)
			}
		}
		printRow(c.name, a.row())
	}
	printRow("all that the figures are for", main.row())
	printRow("all", all.row())
	figures := slices.Concat(
		main.finding(), all.carried(), main.speedFigures("usual films", 100), all.speedFigures("all films", 98),
		quiet.hearing("20 dB", 97), noisy.hearing("12 dB", 85),
	)
	if *filmsOnly != "" {
		figures = demotest.Measured(figures)
	}
	demotest.Print(os.Stderr, figures)
	for _, f := range figures {
		if !f.Holds() {
			b.Error(f)
		}
	}
}

// percent is of how many of 100 something is so.
func percent(n, of int) float64 { return 100 * float64(n) / float64(of) }

// finding are the figures of finding and carrying over on the usual films.
func (a tally) finding() []demotest.Figure {
	return []demotest.Figure{
		demotest.AtLeast("reps found, %", 100, percent(a.sure+a.asked, a.reps), a.reps),
		demotest.AtLeast("sure of those heard to be caught, %", 98, percent(a.sureCaught, a.caught), a.caught),
		demotest.AtMost("sure that nobody heard to be caught, reps", 0, float64(a.sure-a.sureCaught), a.reps-a.caught),
		demotest.AtLeast("sure once one is marked, %", 98, percent(a.sureMarked, a.reps), a.reps),
		demotest.AtMost("sure that are no rep, per 60 reps", 1, 60*float64(a.falseSure)/float64(a.reps), a.reps),
		demotest.AtMost("releases from one mark: the median film's SD, ms", 3, 1000*median(slices.Clone(a.sd)), len(a.sd)),
		demotest.AtMost("the worst film's", 6, 1000*slices.Max(append(a.sd, 0)), len(a.sd)),
		demotest.AtLeast("of them within 15 ms, %", 95, 100*within(a.late, 0.015), len(a.late)),
	}
}

// carried are the figures of what is surely found from one mark: that is at least half of
// what the mark is carried over to, or it says too little of the method.
func (a tally) carried() []demotest.Figure {
	out := []demotest.Figure{
		demotest.AtLeast("releases surely found from one mark, %", 50, percent(a.found, len(a.late)), len(a.late)),
		demotest.AtLeast("of them within as many frames as is said, %", 99, percent(a.near, a.found), a.found),
	}
	for _, fps := range slices.Sorted(maps.Keys(a.known)) {
		k := a.known[fps]
		out = append(out, demotest.AtLeast(fmt.Sprintf("of those at %d frames a second as near as 99 of 100 are said to be, %%", fps), 99, percent(k.near, k.of), k.of))
	}
	return out
}

// speedFigures are those of film speeds; swaps is the share of swapped digits that must be
// doubted, %: all of them on the usual films, nearly all where other gloves pop among
// voices at 12 dB.
func (a tally) speedFigures(name string, swaps float64) []demotest.Figure {
	n := len(a.speeds)
	of := func(what string) string { return what + ", " + name }
	return []demotest.Figure{
		demotest.AtLeast(of("films with pops and five readings that calibrate, %"), 100, percent(a.calibrated, a.calibrates), a.calibrates),
		demotest.AtMost(of("film speeds' SD, mph"), 1.2, stat.StdDev(a.speeds, nil), n),
		demotest.AtLeast(of("of them within twice their uncertainty, %"), 95, 100*stat.Mean(a.inside, nil), n),
		demotest.AtMost(of("true readings doubted, %"), 2, percent(a.falseFlags, a.readings), a.readings),
		demotest.AtLeast(of("swapped digits doubted, %"), swaps, percent(a.swapsCaught, a.swaps), a.swaps),
		demotest.AtLeast(of("slips of 8 mph doubted, %"), 98, percent(a.eight, a.eights), a.eights),
		demotest.AtMost(of("a sound 40 ms off moves a film speed by, mph"), 0.3, a.moved, n),
	}
}

// hearing are the figures of pops.
func (a tally) hearing(name string, least float64) []demotest.Figure {
	out := []demotest.Figure{demotest.AtLeast("pops heard at "+name+", %", least, percent(a.heard, a.popped), a.popped)}
	if name == "20 dB" {
		out = append(out,
			demotest.AtMost("their beginning's median error, ms", 1, 1000*median(slices.Clone(a.popErrors)), a.heard),
			demotest.AtLeast("of them within 5 ms, %", 90, 100*within(a.popErrors, 0.005), a.heard),
		)
	}
	return out
}

func (a tally) row() []string {
	share := func(n, of int) string {
		if of == 0 {
			return "-"
		}
		return fmt.Sprintf("%.1f", 100*float64(n)/float64(of))
	}
	number := func(v float64, digits int) string {
		if math.IsNaN(v) {
			return "-"
		}
		return fmt.Sprintf("%.*f", digits, v)
	}
	errs := slices.Clone(a.popErrors)
	slices.Sort(errs)
	quantile := func(p float64) float64 {
		if len(errs) == 0 {
			return math.NaN()
		}
		return 1000 * stat.Quantile(p, stat.Empirical, errs, nil)
	}
	sd, framed := math.NaN(), math.NaN()
	if len(a.speeds) > 1 {
		sd, framed = stat.StdDev(a.speeds, nil), stat.StdDev(a.framed, nil)
	}
	of := func(n, all int) string { return fmt.Sprintf("%d/%d", n, all) }
	return []string{
		fmt.Sprint(a.films), fmt.Sprint(a.reps), fmt.Sprint(a.sure), fmt.Sprint(a.asked), fmt.Sprint(a.silent),
		fmt.Sprint(a.falseSure), fmt.Sprint(a.falseAsked), fmt.Sprint(a.mimics), number(100*within(a.rough, 1.0001), 0),
		number(1000*median(slices.Clone(a.sd)), 1), number(1000*slices.Max(append(a.sd, 0)), 1), number(100*within(a.frames, 1.0001), 1), fmt.Sprint(a.found), fmt.Sprint(a.sureToFrame), fmt.Sprint(a.found - a.near),
		share(a.heard, a.popped), share(a.aubio, a.popped), share(a.trueOnsets, a.onsets), share(a.aubioTrue, a.aubioOnsets), share(a.right, a.popped),
		number(quantile(0.5), 1), number(quantile(0.9), 1), number(sd, 2), number(framed, 2), number(100*stat.Mean(a.inside, nil), 0),
		of(a.falseFlags, a.readings), of(a.swapsCaught, a.swaps), of(a.eight, a.eights), number(a.moved, 2),
	}
}

func (a *tally) join(o tally) {
	a.films += o.films
	a.caught, a.sureCaught, a.sureMarked = a.caught+o.caught, a.sureCaught+o.sureCaught, a.sureMarked+o.sureMarked
	a.reps, a.sure, a.asked, a.silent = a.reps+o.reps, a.sure+o.sure, a.asked+o.asked, a.silent+o.silent
	a.falseSure, a.falseAsked, a.mimics = a.falseSure+o.falseSure, a.falseAsked+o.falseAsked, a.mimics+o.mimics
	a.found, a.sureToFrame, a.near = a.found+o.found, a.sureToFrame+o.sureToFrame, a.near+o.near
	for fps, k := range o.known {
		if a.known == nil {
			a.known = map[int]knownTo{}
		}
		a.known[fps] = knownTo{a.known[fps].near + k.near, a.known[fps].of + k.of}
	}
	a.sd, a.late, a.frames, a.rough = append(a.sd, o.sd...), append(a.late, o.late...), append(a.frames, o.frames...), append(a.rough, o.rough...)
	a.popped, a.heard, a.right = a.popped+o.popped, a.heard+o.heard, a.right+o.right
	a.popErrors = append(a.popErrors, o.popErrors...)
	a.onsets, a.trueOnsets = a.onsets+o.onsets, a.trueOnsets+o.trueOnsets
	a.aubio, a.aubioOnsets, a.aubioTrue = a.aubio+o.aubio, a.aubioOnsets+o.aubioOnsets, a.aubioTrue+o.aubioTrue
	a.speeds, a.framed, a.inside = append(a.speeds, o.speeds...), append(a.framed, o.framed...), append(a.inside, o.inside...)
	a.calibrates, a.calibrated = a.calibrates+o.calibrates, a.calibrated+o.calibrated
	a.readings, a.falseFlags = a.readings+o.readings, a.falseFlags+o.falseFlags
	a.swaps, a.swapsCaught, a.eights, a.eight = a.swaps+o.swaps, a.swapsCaught+o.swapsCaught, a.eights+o.eights, a.eight+o.eight
	a.moved = max(a.moved, o.moved)
}

// within returns the share of v that is no further than limit from 0; 1 for none.
func within(v []float64, limit float64) float64 {
	n := 0
	for _, x := range v {
		if math.Abs(x) <= limit {
			n++
		}
	}
	if len(v) == 0 {
		return 1
	}
	return float64(n) / float64(len(v))
}
