package demo

import (
	"math"
	"reflect"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo/motion"
)

func plan(t testing.TB, o Options) *Take {
	t.Helper()
	take, err := Plan(o)
	if err != nil {
		t.Fatal(err)
	}
	return take
}

// manyWays are options that touch everything that decides a truth.
func manyWays() map[string]Options {
	return map[string]Options{
		"usual":        {Seed: 1, Reps: Series(3, 3, Body, 1.15)},
		"wild":         {Seed: 2, Reps: Series(4, 4, ArmLate, 1.25), Jitter: 2.5, Rest: 4.5},
		"left, behind": {Seed: 3, Reps: Series(2, 2, ArmEarly, 1.12), Left: true, View: bullpen.ViewBehind},
		"uneven":       {Seed: 4, Reps: Series(2, 1, Same, 1), Pace: Uneven(30, 1), View: bullpen.ViewDiagonal, Handheld: 4, Pan: 30},
		"slowed":       {Seed: 5, Reps: Series(1, 1, Same, 1), Pace: FPS(240, 1), Slow: 8, Sound: Sound{Late: .04}},
		"company":      {Seed: 6, Reps: Series(3, 3, Same, 1), Mimics: 3, PassersBy: 3, Neighbour: true, RestlessArm: true, Sound: Sound{OtherPops: 20}},
		"net":          {Seed: 7, Reps: Series(2, 2, Same, 1), Sound: Sound{Net: true}},
		"missed":       {Seed: 8, Reps: []RepSpec{{Missed: true}, {}, {Misread: 27}}, Doubled: 6},
		"silent":       {Seed: 9, Reps: Series(1, 1, Same, 1), Sound: Sound{Off: true}},
		"the demo":     {},
	}
}

func TestTruthHangsTogether(t *testing.T) {
	for name, o := range manyWays() {
		t.Run(name, func(t *testing.T) {
			take := plan(t, o)
			truth := take.Truth()
			if len(truth.Reps) != len(take.o.Reps) {
				t.Fatalf("%d reps for %d", len(truth.Reps), len(take.o.Reps))
			}
			last := 0.0
			for i, r := range truth.Reps {
				if !(r.Drive.Seconds < r.Plant.Seconds && r.Plant.Seconds < r.Release.Seconds && r.Drive.Seconds < r.Top.Seconds && r.Top.Seconds < r.Release.Seconds) {
					t.Errorf("rep %d: out of order: %+v", i+1, r)
				}
				if r.Release.Seconds < last+4.4 && i > 0 {
					t.Errorf("rep %d is %.2f s after the one before", i+1, r.Release.Seconds-last)
				}
				last = r.Release.Seconds
				for _, e := range []Instant{r.Drive, r.Plant, r.Top, r.Release} {
					for _, other := range []int{e.Frame - 1, e.Frame + 1} {
						if other >= 0 && other < take.Frames() && math.Abs(take.captured(other)-e.Seconds) < math.Abs(take.captured(e.Frame)-e.Seconds)-1e-9 {
							t.Errorf("rep %d: frame %d is nearer to %.4f s than %d", i+1, other, e.Seconds, e.Frame)
						}
					}
				}
				if r.Popped != (!o.Sound.Off && !o.Sound.Net && !r.Missed) {
					t.Errorf("rep %d: popped %v", i+1, r.Popped)
				}
				p := take.pitches[i]
				travel := p.to.Sub(take.phone).Len() / 343
				if want := r.Release.Seconds + r.Flight + travel + o.Sound.Late; r.Popped && math.Abs(r.Pop-want) > 1e-9 {
					t.Errorf("rep %d: pop at %.4f, not %.4f", i+1, r.Pop, want)
				}
				if d := math.Abs(r.Reading.Value - r.Misread - float64(r.Speed)); d > 1.26 {
					t.Errorf("rep %d: the gun is off by %.2f", i+1, d)
				}
				if r.Metres < 11 || r.Metres > 13.5 {
					t.Errorf("rep %d flies %.2f m", i+1, r.Metres)
				}
			}
		})
	}
}

func TestSameSeedSameTruth(t *testing.T) {
	for name, o := range manyWays() {
		if a, b := plan(t, o).Truth(), plan(t, o).Truth(); !reflect.DeepEqual(a, b) {
			t.Errorf("%s: two truths", name)
		}
	}
	a, b := plan(t, Options{Seed: 1}).Truth(), plan(t, Options{Seed: 2}).Truth()
	if a.Reps[0].Legs() == b.Reps[0].Legs() {
		t.Error("another seed, the same legs")
	}
}

// One rep's tempo changes that rep, and nothing else.
func TestTempoIsTheReps(t *testing.T) {
	reps := Series(3, 3, Same, 1)
	plain := plan(t, Options{Seed: 11, Reps: reps}).Truth()
	reps[3].Tempo, reps[3].Stretch = Body, 1.2
	slowed := plan(t, Options{Seed: 11, Reps: reps}).Truth()
	for i := range reps {
		same := plain.Reps[i].Legs() == slowed.Reps[i].Legs() || math.Abs(plain.Reps[i].Legs()-slowed.Reps[i].Legs()) < 1e-9
		if same == (i == 3) {
			t.Errorf("rep %d: legs %.4f then %.4f", i+1, plain.Reps[i].Legs(), slowed.Reps[i].Legs())
		}
	}
}

func TestTempoMeansWhatItSays(t *testing.T) {
	const s = 1.2
	nominal := motion.Nominal()
	legs, arm := nominal.Plant-nominal.Drive, -nominal.Top()
	lag := -nominal.Plant
	tests := map[Tempo]struct{ legs, arm, plantToRelease float64 }{
		Same:     {legs, arm, lag},
		Body:     {legs * s, arm * s, lag * s},
		ArmEarly: {legs, arm * s, lag},
		ArmLate:  {legs, arm * s, lag + .5*(s-1)},
	}
	for tempo, want := range tests {
		take := plan(t, Options{Jitter: -1, Reps: []RepSpec{{Tempo: tempo, Stretch: s}}})
		r := take.Truth().Reps[0]
		got := []float64{r.Legs(), r.Arm(), r.Release.Seconds - r.Plant.Seconds}
		for i, w := range []float64{want.legs, want.arm, want.plantToRelease} {
			if math.Abs(got[i]-w) > 1e-9 {
				t.Errorf("%s: %v, want %v", tempo, got, want)
				break
			}
		}
	}
}

// The usual scatter of legs time from rep to rep is 3.5 %, of one's own body.
func TestScatterOfLegs(t *testing.T) {
	var sum, squares, n float64
	for seed := range uint64(10) {
		for _, r := range plan(t, Options{Seed: seed, Reps: Series(20, 0, Same, 1)}).Truth().Reps {
			e := math.Log(r.Legs())
			sum, squares, n = sum+e, squares+e*e, n+1
		}
	}
	if sd := math.Sqrt(squares/n - (sum/n)*(sum/n)); sd < .03 || sd > .04 {
		t.Errorf("legs scatter by %.3f", sd)
	}
}

func TestBodyDoesWhatTheTruthSays(t *testing.T) {
	for name, o := range manyWays() {
		t.Run(name, func(t *testing.T) {
			take := plan(t, o)
			for i, r := range take.Truth().Reps {
				at := func(s float64) motion.Joints { return take.pitcher.Joints(s) }
				top := at(r.Top.Seconds)
				arm := top.Grip[motion.Throw].Sub(top.Shoulder[motion.Throw])
				if math.Hypot(arm.X, arm.Y) > .02 || arm.Z < .5 {
					t.Errorf("rep %d: at the top the hand is at %+v from the shoulder", i+1, arm)
				}
				foot := func(s float64) motion.Vec { return at(s).Toe[motion.StrideFoot] }
				before := foot(r.Drive.Seconds).Sub(foot(r.Drive.Seconds - .004)).Len()
				after := foot(r.Drive.Seconds + .06).Sub(foot(r.Drive.Seconds)).Len()
				if before > .003 || after < .02 {
					t.Errorf("rep %d: round drive the stride foot moves %.4f, then %.4f m", i+1, before, after)
				}
				landed := at(r.Plant.Seconds).Ankle[motion.StrideFoot]
				for _, s := range []float64{.05, .1, .3} {
					// The heel still comes down: the ankle may sink by a little.
					if d := at(r.Plant.Seconds + s).Ankle[motion.StrideFoot].Sub(landed).Len(); d > .05 {
						t.Errorf("rep %d: the planted foot slips %.3f m in %.2f s", i+1, d, s)
					}
				}
			}
		})
	}
}

func TestBallLeavesTheHand(t *testing.T) {
	for name, o := range manyWays() {
		take := plan(t, o)
		bodies := func(s float64) []motion.Joints {
			var all []motion.Joints
			for _, p := range take.players {
				all = append(all, p.Actor.Joints(s))
			}
			return all
		}
		ball := func(s float64) motion.Vec {
			v, _ := take.ball(s, bodies(s))
			return v
		}
		for i, r := range take.Truth().Reps {
			release := r.Release.Seconds
			hand := func(s float64) motion.Vec { return take.pitcher.Joints(s).Grip[motion.Throw] }
			if d := ball(release - .001).Sub(hand(release - .001)).Len(); d > 1e-9 {
				t.Errorf("%s, rep %d: before release the ball is %.3f m from the hand", name, i+1, d)
			}
			if d := ball(release).Sub(hand(release)).Len(); d > 1e-6 {
				t.Errorf("%s, rep %d: at release the ball is %.3f m from the hand", name, i+1, d)
			}
			if d := ball(release + .05).Sub(hand(release + .05)).Len(); d < .2 {
				t.Errorf("%s, rep %d: 50 ms after release the ball is still %.3f m from the hand", name, i+1, d)
			}
			// Along the ground it starts with the true speed.
			d := ball(release + 1e-4).Sub(ball(release))
			if v := math.Hypot(d.X, d.Y) / 1e-4; math.Abs(v-r.Speed.MetresPerSecond()) > .02 {
				t.Errorf("%s, rep %d: leaves with %.2f m/s, not %.2f", name, i+1, v, r.Speed.MetresPerSecond())
			}
			arrived := take.pitches[i].at(r.Flight)
			if d := arrived.Sub(take.pitches[i].to).Len(); d > 1e-6 {
				t.Errorf("%s, rep %d: arrives %.4f m beside the glove", name, i+1, d)
			}
			way := bullpen.Way{Metres: r.Metres, Drag: take.pitches[i].way.Drag}
			if got := way.Seconds(r.Speed); math.Abs(got-r.Flight) > 1e-12 {
				t.Errorf("%s, rep %d: flies %.4f s, the drag model says %.4f", name, i+1, r.Flight, got)
			}
			if take.catcher > 0 && !r.Missed {
				mitt := take.players[take.catcher].Actor.Joints(release + r.Flight).Grip[motion.Glove]
				if d := mitt.Sub(take.pitches[i].to).Len(); d > .12 {
					t.Errorf("%s, rep %d: the mitt is %.2f m from the ball", name, i+1, d)
				}
			}
		}
	}
}

// The ball never jumps: between two frames at 240 a second it goes no farther
// than it can fly.
func TestBallNeverJumps(t *testing.T) {
	take := plan(t, Options{Seed: 5, Reps: Series(2, 2, Same, 1), Mimics: 1})
	var last motion.Vec
	seen := false
	for i := range int(take.seconds() * 240) {
		s := float64(i) / 240
		var bodies []motion.Joints
		for _, p := range take.players {
			bodies = append(bodies, p.Actor.Joints(s))
		}
		v, ok := take.ball(s, bodies)
		if ok && seen && v.Sub(last).Len() > .32 {
			t.Errorf("at %.3f s the ball jumps %.2f m", s, v.Sub(last).Len())
		}
		last, seen = v, ok
	}
}

func TestDecoys(t *testing.T) {
	o := manyWays()["company"]
	count := map[string]int{}
	take := plan(t, o)
	last := 0.0
	for _, d := range take.Truth().Decoys {
		count[d.Kind]++
		if d.Seconds < last {
			t.Errorf("%s at %.2f s is out of order", d.Kind, d.Seconds)
		}
		last = d.Seconds
		for i, r := range take.Truth().Reps {
			if d.Kind == "mimic" && math.Abs(d.Seconds-r.Release.Seconds) < 4.4 {
				t.Errorf("a mimic at %.2f s runs into rep %d", d.Seconds, i+1)
			}
		}
	}
	if count["mimic"] != 3 || count["passer-by"] != 3 || count["neighbour"] == 0 || count["other pop"] <= count["neighbour"] || count["return"] == 0 {
		t.Errorf("decoys: %v", count)
	}
	if n := plan(t, manyWays()["missed"]).Truth().Decoys; n[0].Kind != "fence" {
		t.Errorf("a missed ball is heard as %q", n[0].Kind)
	}
}

func TestRefusals(t *testing.T) {
	tests := map[string]Options{
		"odd width":        {Width: 641, Height: 360},
		"tiny":             {Width: 8, Height: 8},
		"frames run back":  {Pace: FrameTiming{TickRate: 90000, Step: 100, Swing: 90}},
		"no such view":     {View: "above"},
		"eighth turn":      {Rotation: 45},
		"too little rest":  {Rest: 3},
		"slower than slow": {Slow: 40},
		"all doubled":      {Doubled: 2},
		"impossible speed": {Reps: []RepSpec{{Speed: 120}}},
		"no such tempo":    {Reps: []RepSpec{{Tempo: "lazy", Stretch: 1.1}}},
		"torn apart":       {Reps: []RepSpec{{Tempo: Body, Stretch: 3}}},
	}
	for name, o := range tests {
		if _, err := Plan(o); bullpen.CodeOf(err) != bullpen.Invalid {
			t.Errorf("%s: %v", name, err)
		}
	}
}
