package tempo

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/demo/demotest"
	"tenoff/internal/trace"
)

// eventOf names the instants in their order.
var eventOf = [instants]bullpen.Event{bullpen.Drive, bullpen.Plant, bullpen.Top, bullpen.Release}

// filmed is a generated bullpen: its truth and the motion seen in it.
type filmed struct {
	truth  demo.Truth
	motion *trace.Motion
}

func film(t testing.TB, o demo.Options) filmed {
	t.Helper()
	take, err := demo.Plan(o)
	if err != nil {
		t.Fatal(err)
	}
	f := filmed{truth: take.Truth(), motion: new(trace.Motion)}
	width, height := 160, 90
	if o.Portrait {
		width, height = height, width
	}
	stored, err := demotest.Kept(*filmsKeep, fmt.Sprintf("v%d.around-%g+%g", trace.Version, before, after), o, func() ([]byte, error) {
		meter := trace.NewMeter(width, height, f.truth.Clock.Slow)
		// What lies between the deliveries is not looked at.
		err := take.GrayRound(context.Background(), width, height, before+0.25, after+0.25, func(_ int, seconds float64, pixels []byte) error {
			meter.Add(pixels, seconds)
			return nil
		})
		if err != nil {
			return nil, err
		}
		return meter.Motion().MarshalBinary()
	})
	if err == nil {
		err = f.motion.UnmarshalBinary(stored)
	}
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// deliveries gives the film's reps as event transfer takes them in: releases
// guessed to about 8 ms, the four instants marked on the first fastball to the
// nearest frame.
func (f filmed) deliveries(seed uint64) []Delivery {
	dice := rand.New(rand.NewPCG(seed, 7))
	out := make([]Delivery, len(f.truth.Reps))
	marked := false
	at := func(i demo.Instant) float64 { return f.truth.Clock.RealSeconds(0, i.Frame) }
	for i, r := range f.truth.Reps {
		out[i] = Delivery{
			Motion: f.motion,
			Guess:  r.Release.Seconds + 0.008*dice.NormFloat64(),
			Fast:   r.Pitch == bullpen.Fastball,
			Marked: Unknown(),
		}
		if out[i].Fast && !marked {
			marked = true
			out[i].Marked = Instants{at(r.Drive), at(r.Plant), at(r.Top), at(r.Release)}
		}
	}
	return out
}

// some keeps the given number of fastballs and of off-speed reps, counted from
// the n-th of each.
func (f filmed) some(n, fast, off int) filmed {
	keep := f
	keep.truth.Reps = nil
	var seen [2]int
	for _, r := range f.truth.Reps {
		side, most := 0, fast
		if r.Pitch != bullpen.Fastball {
			side, most = 1, off
		}
		if seen[side] >= n && seen[side] < n+most {
			keep.truth.Reps = append(keep.truth.Reps, r)
		}
		seen[side]++
	}
	return keep
}

// seen is what the program makes of a film, beside the truth.
type seen struct {
	found             []Transferred
	check             Check
	legs, arm         float64    // contrasts, log
	legsTrue, armTrue float64    // realised contrasts of the reps themselves
	legsSet           float64    // what was set
	whole             float64    // contrast of the whole delivery's stretch
	legsSD, armSD     float64    // per-rep error of the log times
	legsLow, legsHigh float64    // ends of the legs' interval, log
	events            [4]float64 // SD of the error of drive, plant, top, release, ms
	shift             [4]float64 // how much later each instant is read on off-speed reps than on fastballs, ms
	poor              int        // instants not surely found
	sure, near        int        // instants found; of those, within as many frames of the truth as is said, the mark's own error taken off
	match             [3]float64 // how much worse drive, plant and the whole match on off-speed reps than on fastballs
}

// transfer runs event transfer and the check as the program does.
func (f filmed) transfer(t testing.TB, seed uint64) seen {
	t.Helper()
	reps := f.deliveries(seed)
	got, err := Transfer(reps)
	if err != nil {
		t.Fatal(err)
	}
	timings := make([]RepTiming, len(reps))
	s := seen{found: got}
	cadence, frame := f.motion.Cadence(), f.truth.Clock.RealSeconds(0, 1)
	var own Instants // errors of the marks
	for i, r := range f.truth.Reps {
		if m := reps[i].Marked.taken(cadence.Cadence); m.Complete() {
			own = Instants{m.Drive - r.Drive.Seconds, m.Plant - r.Plant.Seconds, m.Top - r.Top.Seconds, m.Release - r.Release.Seconds}
		}
	}
	var legsTrue, armTrue, whole [2][]float64
	var legsErr, armErr []float64
	var events [4][]float64
	var sides [2][4][]float64
	var matches [2][3][]float64
	for i, r := range f.truth.Reps {
		side := 1
		if reps[i].Fast {
			side = 0
		} else if r.Tempo == demo.Body {
			s.legsSet = math.Log(r.Stretch)
		}
		timings[i] = TimingOf(r.Rep("film"), bullpen.Film{Clock: f.truth.Clock, View: f.truth.View}, cadence.Cadence, &got[i])
		if !(reps[i].Marked.Drive > 0) {
			timings[i].Marked = Unknown()
		}
		whole[side] = append(whole[side], got[i].Stretch)
		for k, m := range []float64{got[i].Drive.Match, got[i].Plant.Match, got[i].Match} {
			matches[side][k] = append(matches[side][k], m)
		}
		legsTrue[side], armTrue[side] = append(legsTrue[side], math.Log(r.Legs())), append(armTrue[side], math.Log(r.Arm()))
		in := got[i].Instants()
		if e := math.Log(in.Legs() / r.Legs()); !math.IsNaN(e) {
			legsErr = append(legsErr, e)
		}
		if e := math.Log(in.Arm() / r.Arm()); !math.IsNaN(e) {
			armErr = append(armErr, e)
		}
		for k, e := range []float64{in.Drive - r.Drive.Seconds, in.Plant - r.Plant.Seconds, in.Top - r.Top.Seconds, in.Release - r.Release.Seconds} {
			if math.IsNaN(e) {
				s.poor++
			} else {
				s.sure++
				within := max(math.Ceil(trace.Surely*FoundSpread(eventOf[k])/frame), 1)
				if math.Abs(e-*own.list()[k]) <= 1.0001*within*frame {
					s.near++
				}
				events[k] = append(events[k], 1000*e)
				sides[side][k] = append(sides[side][k], 1000*e)
			}
		}
	}
	a := Assess(timings, Options{})
	s.check = a.Checks[0]
	s.legs, s.arm = math.NaN(), math.NaN()
	if l := s.check.Legs; l != nil {
		s.legs, s.legsLow, s.legsHigh = math.Log1p(l.Percent/100), math.Log1p(l.Lo/100), math.Log1p(l.Hi/100)
	}
	if l := s.check.Arm; l != nil {
		s.arm = math.Log1p(l.Percent / 100)
	}
	between := func(v [2][]float64) float64 { return stat.Mean(v[1], nil) - stat.Mean(v[0], nil) }
	s.legsTrue, s.armTrue, s.whole = between(legsTrue), between(armTrue), between(whole)
	s.legsSD, s.armSD = stat.StdDev(legsErr, nil), stat.StdDev(armErr, nil)
	for k := range s.match {
		s.match[k] = stat.Mean(matches[0][k], nil) - stat.Mean(matches[1][k], nil)
	}
	for k := range events {
		s.events[k] = stat.StdDev(events[k], nil)
		s.shift[k] = stat.Mean(sides[1][k], nil) - stat.Mean(sides[0][k], nil)
	}
	return s
}
