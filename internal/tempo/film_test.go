package tempo

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/trace"
)

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
	f := filmed{truth: take.Truth()}
	meter := trace.NewMeter(160, 90, f.truth.Clock.Slow)
	err = take.Gray(context.Background(), 160, 90, func(_ int, seconds float64, pixels []byte) error {
		meter.Add(pixels, seconds)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	f.motion = meter.Motion()
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

// seen is what the transfer made of a film, beside the truth.
type seen struct {
	legs, arm         Contrast
	legsTrue, armTrue float64    // realised contrast of the reps themselves
	legsSD, armSD     float64    // per-rep error of the log times
	events            [4]float64 // SD of the error of drive, plant, top, release, ms
	check             Check
	poor              int // instants not surely found
}

func (f filmed) transfer(t testing.TB, seed uint64) seen {
	t.Helper()
	reps := f.deliveries(seed)
	got, err := Transfer(reps)
	if err != nil {
		t.Fatal(err)
	}
	var s seen
	var legs, arm, legsTrue, armTrue [2][]float64
	var legsErr, armErr []float64
	var events [4][]float64
	for i, r := range f.truth.Reps {
		side := 1
		if reps[i].Fast {
			side = 0
		}
		in := got[i].Instants()
		legs[side], arm[side] = append(legs[side], in.Legs()), append(arm[side], in.Arm())
		legsTrue[side], armTrue[side] = append(legsTrue[side], math.Log(r.Legs())), append(armTrue[side], math.Log(r.Arm()))
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
				events[k] = append(events[k], 1000*e)
			}
		}
	}
	bias := BiasOf(f.truth.View).Legs
	var legsOK, armOK bool
	s.legs, legsOK = Compare(legs[0], legs[1], 0, bias)
	s.arm, armOK = Compare(arm[0], arm[1], 0, BiasOf(f.truth.View).Arm)
	s.check = Judge(s.legs, legsOK, s.arm, armOK, DefaultMargins())
	s.legsTrue = stat.Mean(legsTrue[1], nil) - stat.Mean(legsTrue[0], nil)
	s.armTrue = stat.Mean(armTrue[1], nil) - stat.Mean(armTrue[0], nil)
	s.legsSD, s.armSD = stat.StdDev(legsErr, nil), stat.StdDev(armErr, nil)
	for k := range events {
		s.events[k] = stat.StdDev(events[k], nil)
	}
	return s
}
