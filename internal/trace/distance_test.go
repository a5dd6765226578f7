package trace

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"tenoff/internal/bullpen"
)

// set returns the setting of a pitcher whose way is off metres longer or shorter than
// it was in truth.
func set(off float64) Setting {
	s := testSetting
	s.Phone = 0 // nobody says where the phone stood
	s.Way.Metres += off
	return s
}

const foot = 0.3048

// A distance that is wrong by eight feet is doubted, and what the flights fit is said;
// a right one is not, wherever the phone stood and though sound and picture are 40 ms
// apart. A sound 120 ms out of step is said to be that, and a wrong distance is not.
func TestClockDoubtsTheDistance(t *testing.T) {
	const sessions = 12
	for _, fps := range []float64{30, 60, 240} {
		for _, c := range []struct {
			off         float64 // feet that are set too many
			delay       float64 // of the sound
			least, most float64 // share of sessions with a doubt
			step        float64 // seconds that the sound is out of step
			stepMost    float64 // share of sessions in which one in step is said not to be, beyond 0.03
		}{
			{off: 0, delay: 0.000, most: 0.03},
			{off: 0, delay: 0.024, most: 0.03},
			{off: 0, delay: 0.058, most: 0.03}, // twenty metres away
			{off: 0, delay: 0.024 + 0.040, most: 0.03},
			{off: 0, delay: 0.024 - 0.040, most: 0.03},
			{off: 0, delay: 0.024 + 0.120, most: 0.1, step: +0.120}, // out of step: the sound's fault
			{off: 0, delay: 0.024 - 0.120, most: 0.1, step: -0.120},
			{off: +8, delay: 0.024, least: 1, most: 1}, // 43 set, 35 thrown
			{off: -8, delay: 0.024, least: 1, most: 1},
			{off: +8, delay: 0.052, least: 0.9, most: 1}, // and the phone behind her
			{off: -8, delay: 0.009, least: 0.9, most: 1}, // behind the catcher
			// With six feet a late sound explains it nearly as well; then the note asks about the distance first.
			{off: +6, delay: 0.024, least: 0.8, most: 1, stepMost: 0.2},
			{off: -6, delay: 0.024, least: 0.7, most: 1, stepMost: 0.25},
			{off: +11, delay: 0.024, least: 1, most: 1},
			{off: +25.5, delay: 0.024, least: 1, most: 1}, // a man's distance for a girl's
		} {
			t.Run(fmt.Sprintf("%g fps %+g ft %g ms", fps, c.off, 1000*c.delay), func(t *testing.T) {
				doubted, named := 0.0, 0.0
				var errors []float64
				for k := range uint64(sessions) {
					throws, _ := thrown{fps: fps, delay: c.delay, slow: 1, declared: 1, others: 0.3, missing: 0.1}.session(16, rand.New(rand.NewPCG(k, uint64(fps))))
					for i := range throws {
						throws[i].ReleaseSD = math.Hypot(throws[i].ReleaseSD, 0.008)
					}
					got := FilmSpeedsOf(throws, set(c.off*foot))
					switch {
					case c.step == 0 && got.OutOfStep != 0:
						named += 1.0 / sessions
					case c.step != 0 && math.Abs(got.OutOfStep-c.step) < 0.020:
						named += 1.0 / sessions
					}
					if got.Distance == nil {
						continue
					}
					doubted += 1.0 / sessions
					errors = append(errors, (got.Distance.Metres-testWay.Metres)/foot)
				}
				if c.step != 0 && named < 0.9-1e-9 || c.step == 0 && named > max(c.stepMost, 0.03) {
					t.Errorf("in %.2f of the sessions the sound is said to be out of step, by %g s in truth", named, c.step)
				}
				t.Logf("doubted %.2f, out of step %.2f, feet off: mean %.1f, SD %.1f", doubted, named, mean(errors), spreadOf(append(errors, 0)))
				if doubted < c.least-1e-9 || doubted > c.most+1e-9 {
					t.Errorf("%.2f of the sessions are doubted", doubted)
				}
				if c.off != 0 && math.Abs(mean(errors)) > 2 {
					t.Errorf("what fits is %.1f feet off", mean(errors))
				}
			})
		}
	}
}

// A sound that is accepted to be late is no longer said to be, and where there are too few
// readings to find it, the speeds allow for it; one in step on the same phone is told from it.
func TestClockTakesALateSoundAsAccepted(t *testing.T) {
	const late = 0.120
	mps := func(v []FilmSpeed, truth []bullpen.Speed) (sum float64) {
		for i, f := range v {
			sum += float64(f.Speed-truth[i]) / float64(len(v))
		}
		return sum
	}
	for seed := range uint64(8) {
		o := thrown{fps: 60, delay: 0.024 + late, slow: 1, declared: 1, others: 0.3}
		throws, truth := o.session(16, rand.New(rand.NewPCG(seed, 51)))
		accepted := set(0)
		accepted.Late = late
		got := FilmSpeedsOf(throws, accepted)
		if got.OutOfStep != 0 || got.Distance != nil || !got.Calibrated || math.Abs(got.Delay-o.delay) > 0.015 {
			t.Errorf("seed %d: accepted, and said to be %g out of step, distance %v, delay %.3f", seed, got.OutOfStep, got.Distance, got.Delay)
		}
		few, unaware := FilmSpeedsOf(throws[:leastOwn-1], accepted), FilmSpeedsOf(throws[:leastOwn-1], set(0))
		if few.Calibrated || unaware.Calibrated {
			t.Fatalf("calibrated on %d readings", leastOwn-1)
		}
		// 0.12 s of half a second is a fifth of the speed, about ten mph.
		if off, was := mps(few.Throws, truth), mps(unaware.Throws, truth); math.Abs(off) > 4 || was > -6 {
			t.Errorf("seed %d: without enough readings speeds are %.1f mph off, and %.1f not knowing of the sound", seed, off, was)
		}
		o.delay -= late
		throws, _ = o.session(16, rand.New(rand.NewPCG(seed, 51)))
		if got := FilmSpeedsOf(throws, accepted); math.Abs(got.OutOfStep+late) > 0.020 || got.Distance != nil {
			t.Errorf("seed %d: in step though accepted as late, and said to be %g out of it, distance %v", seed, got.OutOfStep, got.Distance)
		}
	}
}

// A doubt names its uncertainty, and needs readings and pops.
func TestDistanceNeedsReadings(t *testing.T) {
	throws, _ := thrown{fps: 60, delay: 0.024, slow: 1, declared: 1, others: 0.3}.session(16, rand.New(rand.NewPCG(3, 3)))
	d := FilmSpeedsOf(throws, set(8*foot)).Distance
	if d == nil || d.U < 0.1 || d.U > 1 || math.Abs(d.Metres-testWay.Metres) > 3*d.U {
		t.Errorf("%+v, in truth %.2f m", d, testWay.Metres)
	}
	if d := FilmSpeedsOf(throws[:leastOwn-1], set(8*foot)).Distance; d != nil {
		t.Errorf("doubted by %d throws", leastOwn-1)
	}
	for i := range throws {
		throws[i].Reading = nil
	}
	if d := FilmSpeedsOf(throws, set(8*foot)).Distance; d != nil {
		t.Error("doubted without a reading")
	}
	// One reading in two is somebody's slip: nothing agrees.
	throws, _ = thrown{fps: 60, delay: 0.024, slow: 1, declared: 1}.session(16, rand.New(rand.NewPCG(4, 4)))
	for i := range throws {
		if i%2 == 0 {
			throws[i].Reading = &bullpen.Reading{Value: 74, Unit: bullpen.MPH, Step: 1}
		}
	}
	if d := FilmSpeedsOf(throws, set(0)).Distance; d != nil {
		t.Errorf("slips are taken for a distance: %+v", d)
	}
}

func BenchmarkDoubtWay(b *testing.B) {
	throws, _ := thrown{fps: 60, delay: 0.024, slow: 1, declared: 1, others: 0.3}.session(40, rand.New(rand.NewPCG(3, 3)))
	for b.Loop() {
		newClocking(throws, testSetting).doubtDistance()
	}
}
