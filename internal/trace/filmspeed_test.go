package trace

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tenoff/internal/bullpen"
)

// thrown makes a session of throws without a picture: times of flight by the
// drag model, pops heard late by delay, releases marked to the nearest frame,
// other sounds at random.
type thrown struct {
	fps, delay, slow float64
	others           float64 // other onsets per second
	missing          float64 // share of pops that are not heard
	declared         float64 // slow factor that is told
}

var (
	testWay     = bullpen.Way{Metres: 11.2, Drag: 0.0078}
	testSetting = Setting{Way: testWay, Glove: 0.6, Phone: 7}
)

func (o thrown) session(n int, random *rand.Rand) (throws []Throw, truth []bullpen.Speed) {
	way := bullpen.Way{Metres: testWay.Metres + 0.6, Drag: testWay.Drag}
	sound := &Sound{}
	for i := range n {
		pitch, mean := bullpen.Fastball, 54.0
		if i%2 == 1 {
			pitch, mean = bullpen.ChangeUp, 44
		}
		v := bullpen.Speed(mean + 1.5*random.NormFloat64())
		release := 3 + 7*float64(i) + random.Float64()
		metres := way
		metres.Metres += 0.15 * random.NormFloat64()
		pop := release + metres.Seconds(v) + o.delay + 0.001*random.NormFloat64()
		if random.Float64() >= o.missing {
			sound.Onsets = append(sound.Onsets, Onset{Time: pop * o.slow, Z: 20, Peak: -2.5 + 0.4*float32(random.NormFloat64())})
		}
		for range int(7*o.others + random.Float64()) {
			at := release - 3 + 7*random.Float64()
			sound.Onsets = append(sound.Onsets, Onset{Time: at * o.slow, Z: 8, Peak: -3.5 + 0.6*float32(random.NormFloat64())})
		}
		throws = append(throws, Throw{
			Sound: sound, Slow: o.declared, Pitch: pitch,
			Release: math.Round(release*o.fps) / o.fps * o.slow, ReleaseSD: 1 / o.fps / math.Sqrt(12),
			Reading: &bullpen.Reading{Value: math.Round(float64(v)), Unit: bullpen.MPH, Step: 1},
		})
		truth = append(truth, v)
	}
	sortOnsets(sound.Onsets)
	return throws, truth
}

func sortOnsets(o []Onset) {
	for i := 1; i < len(o); i++ {
		for k := i; k > 0 && o[k].Time < o[k-1].Time; k-- {
			o[k], o[k-1] = o[k-1], o[k]
		}
	}
}

// 200 readings with 10 planted errors of 8 mph and more: every one is flagged,
// no more than 2 % of the others are, the speeds scatter by at most 1.2 mph, and
// 95 % lie within twice their own uncertainty.
func TestClockDoubtsPlantedErrors(t *testing.T) {
	for _, fps := range []float64{30, 60, 120, 240} {
		random := rand.New(rand.NewPCG(11, uint64(fps)))
		planted, caught, falsely, readings := 0, 0, 0, 0
		var errors, inside []float64
		for range 10 {
			throws, truth := thrown{fps: fps, delay: 0.03, slow: 1, declared: 1, others: 0.3}.session(20, random)
			k := random.IntN(len(throws))
			r := throws[k].Reading
			switch swapped, ok := r.Swapped(); random.IntN(3) {
			case 0:
				if ok && math.Abs(swapped.Value-r.Value) >= 8 {
					*r = swapped
					break
				}
				fallthrough
			case 1:
				r.Value = math.Round(r.Value * bullpen.KMHPerMPH)
			case 2:
				r.Value += 8 + 4*math.Round(random.Float64())
			}
			planted++
			got := FilmSpeedsOf(throws, testSetting)
			if !got.Calibrated || got.Slowed != 1 {
				t.Fatalf("%g fps: calibrated %v, slowed %g", fps, got.Calibrated, got.Slowed)
			}
			for i, f := range got.Throws {
				readings++
				switch {
				case i == k && f.Doubt != NoDoubt:
					caught++
				case i != k && f.Doubt != NoDoubt:
					falsely++
				}
				if f.Speed == 0 {
					continue
				}
				e := float64(f.Speed - truth[i])
				errors = append(errors, e)
				in := 0.0
				if math.Abs(e) <= 2*float64(f.U) {
					in = 1
				}
				inside = append(inside, in)
			}
		}
		if caught < planted {
			t.Errorf("%g fps: %d of %d planted errors flagged", fps, caught, planted)
		}
		if falsely*50 > readings {
			t.Errorf("%g fps: %d false flags of %d", fps, falsely, readings)
		}
		sd, share := spreadOf(errors), mean(inside)
		if sd > 1.2 {
			t.Errorf("%g fps: film speeds scatter by %.2f mph", fps, sd)
		}
		if share < 0.95 {
			t.Errorf("%g fps: %.3f within twice their uncertainty", fps, share)
		}
		t.Logf("%g fps: caught %d/%d, false %d/%d, SD %.2f mph, within U %.3f", fps, caught, planted, falsely, readings, sd, share)
	}
}

// Wherever other gloves pop and people talk, a sound comes near the time that a wrong
// reading means: it must not bear the reading out. One slip of 8 mph at a time, in every
// reading; and a film without one.
func TestClockHearsPastOtherSounds(t *testing.T) {
	for _, fps := range []float64{30, 240} {
		slips, caught, readings, falsely := 0, 0, 0, 0
		for seed := range uint64(2) {
			throws, _ := thrown{fps: fps, delay: 0.03, slow: 1, declared: 1, others: 1.3}.session(16, rand.New(rand.NewPCG(seed, 31)))
			for _, f := range FilmSpeedsOf(throws, testSetting).Throws {
				readings++
				if f.Doubt != NoDoubt {
					falsely++
				}
			}
			for i := range throws {
				right := throws[i].Reading
				for _, off := range []float64{-8, 8} {
					throws[i].Reading = &bullpen.Reading{Value: right.Value + off, Unit: bullpen.MPH, Step: 1}
					slips++
					if f := FilmSpeedsOf(throws, testSetting).Throws[i]; f.Doubt != NoDoubt {
						caught++
					} else {
						t.Logf("%g fps, seed %d: %g for %g is believed, film speed %.1f", fps, seed, right.Value+off, right.Value, f.Speed)
					}
				}
				throws[i].Reading = right
			}
		}
		if share := float64(caught) / float64(slips); share < 0.98 {
			t.Errorf("%g fps: %d of %d slips are doubted", fps, caught, slips)
		}
		if falsely*50 > readings {
			t.Errorf("%g fps: %d of %d true readings are doubted", fps, falsely, readings)
		}
		t.Logf("%g fps: caught %d/%d, false %d/%d", fps, caught, slips, falsely, readings)
	}
}

// Several slips in few readings neither draw the delay to themselves nor widen the
// scatter by which they are told.
func TestClockIsNotDrawnBySlips(t *testing.T) {
	for seed := range uint64(10) {
		throws, _ := thrown{fps: 60, delay: 0.03, slow: 1, declared: 1}.session(9, rand.New(rand.NewPCG(seed, 41)))
		straight := FilmSpeedsOf(throws, testSetting)
		for _, i := range []int{2, 5} {
			throws[i].Reading = &bullpen.Reading{Value: throws[i].Reading.Value + 8, Unit: bullpen.MPH, Step: 1}
		}
		got := FilmSpeedsOf(throws, testSetting)
		if d := math.Abs(got.Delay - straight.Delay); !got.Calibrated || d > 0.008 {
			t.Errorf("seed %d: two slips move the delay by %.1f ms", seed, 1000*d)
		}
		for i, f := range got.Throws {
			if slipped := i == 2 || i == 5; slipped != (f.Doubt != NoDoubt) {
				t.Errorf("seed %d, throw %d: doubt %q", seed, i, f.Doubt)
			}
		}
	}
}

// Where the way is hardly known the speeds say so, until readings calibrate it: then it
// changes neither a speed nor a doubt, and of how well they are known only what a delay can't
// hold, by which slow pitches are later than fast ones on a longer way.
func TestClockKnowsHowTheWayIsKnown(t *testing.T) {
	throws, _ := thrown{fps: 60, delay: 0.02, slow: 1, declared: 1}.session(10, rand.New(rand.NewPCG(6, 6)))
	throws[3].Reading = &bullpen.Reading{Value: throws[3].Reading.Value + 8, Unit: bullpen.MPH, Step: 1}
	vague := testSetting
	vague.WayU = 0.75
	known, guessed := FilmSpeedsOf(throws, testSetting), FilmSpeedsOf(throws, vague)
	usual := 0.0 // seconds a metre
	for i, r := range throws {
		if i != 3 { // the slip
			usual += 1 / r.Reading.Speed().MetresPerSecond() / float64(len(throws)-1)
		}
	}
	if d := cmp.Diff(known, guessed, cmpopts.EquateNaNs(), cmpopts.IgnoreFields(FilmSpeed{}, "U")); d != "" {
		t.Errorf("calibrated on ten readings:\n%s", d)
	}
	for i, f := range guessed.Throws {
		if f.Speed == 0 {
			continue
		}
		// A metre more of way is 1/v seconds, of which the delay holds the readings' mean.
		want := math.Abs(1/f.Speed.MetresPerSecond() - usual)
		more := math.Sqrt(max(sq(float64(f.U))-sq(float64(known.Throws[i].U)), 0)) / float64(f.Speed) * f.Flight / math.Sqrt(sq(0.75)-sq(wayU))
		if math.Abs(more-want) > 0.0015 {
			t.Errorf("throw %d, %.1f mph: unsure by %.4f s a metre of the way, want %.4f", i, f.Speed, more, want)
		}
	}
	for i := range throws {
		throws[i].Reading = nil
	}
	for i, f := range FilmSpeedsOf(throws, vague).Throws {
		usual := FilmSpeedsOf(throws, testSetting).Throws[i]
		// Of a flight of D metres, 0.75 of them are that share of the speed.
		if least := float64(f.Speed) * 0.75 / (testWay.Metres + 0.6); float64(f.U) < least || f.U <= usual.U || f.Speed != usual.Speed {
			t.Errorf("throw %d: %.2f +- %.2f, at least %.2f is the way's; usually %.2f", i, f.Speed, f.U, least, usual.U)
		}
	}
}

// Where the way is set as wrong as it may be, 95 % of the change-ups' speeds and of the
// fastballs' lie within twice their uncertainty though readings calibrate the sound.
func TestClockOfAWayThatIsWrong(t *testing.T) {
	for _, off := range []float64{-0.68, 0.68} {
		inside := map[bullpen.Pitch][]float64{}
		for seed := range uint64(60) {
			throws, truth := thrown{fps: 240, delay: 0.024, slow: 1, declared: 1}.session(16, rand.New(rand.NewPCG(seed, 61)))
			vague := set(off)
			vague.WayU = 0.68
			for i, f := range FilmSpeedsOf(throws, vague).Throws {
				in := 0.0
				if math.Abs(float64(f.Speed-truth[i])) <= 2*float64(f.U) {
					in = 1
				}
				inside[throws[i].Pitch] = append(inside[throws[i].Pitch], in)
			}
		}
		for pitch, in := range inside {
			if share := mean(in); share < 0.95 {
				t.Errorf("%+.2f m, %s: %.3f of %d within twice their uncertainty", off, pitch, share, len(in))
			} else {
				t.Logf("%+.2f m, %s: %.3f of %d", off, pitch, share, len(in))
			}
		}
	}
}

// Times of frames that are 8 ms off either way, as some programs write them, make no right
// reading doubted. 8 ms are what a film's release may then be off beside its frame.
func TestClockOfJitteredTimes(t *testing.T) {
	readings, falsely := 0, 0
	var inside []float64
	for _, fps := range []float64{30, 60} {
		for seed := range uint64(25) {
			random := rand.New(rand.NewPCG(seed, 71))
			throws, truth := thrown{fps: fps, delay: 0.024, slow: 1, declared: 1, others: 0.3}.session(16, random)
			for i := range throws {
				throws[i].Release += 0.008 * (2*random.Float64() - 1)
				throws[i].ReleaseSD = math.Hypot(throws[i].ReleaseSD, 0.008)
			}
			for i, f := range FilmSpeedsOf(throws, set(0)).Throws {
				readings++
				if f.Doubt != NoDoubt {
					falsely++
				}
				if f.Speed > 0 {
					in := 0.0
					if math.Abs(float64(f.Speed-truth[i])) <= 2*float64(f.U) {
						in = 1
					}
					inside = append(inside, in)
				}
			}
		}
	}
	if falsely*200 > readings || mean(inside) < 0.95 {
		t.Errorf("%d of %d right readings are doubted, %.3f of the speeds within twice their uncertainty", falsely, readings, mean(inside))
	}
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x / float64(len(v))
	}
	return sum
}

func spreadOf(v []float64) float64 {
	m, sum := mean(v), 0.0
	for _, x := range v {
		sum += (x - m) * (x - m) / float64(len(v)-1)
	}
	return math.Sqrt(sum)
}

// The likely cause is named, and what was meant.
func TestClockNamesTheCause(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(throws []Throw)
		want  Doubt
		meant float64
		unit  bullpen.Unit
	}{
		{"swapped", func(s []Throw) { s[4].Reading.Value = 47; s[4].Reading.Value = 74 }, DigitsSwapped, 47, bullpen.MPH},
		{"km/h", func(s []Throw) { s[4].Reading.Value = 76 }, OtherUnit, 76, bullpen.KMH},
		{"slip", func(s []Throw) { s[4].Reading.Value = 66 }, OthersPitch, 0, ""},
		{"other pop", func(s []Throw) {
			for k, o := range s[4].Sound.Onsets {
				if o.Time > s[4].Release+0.3 && o.Time < s[4].Release+0.9 {
					s[4].Sound.Onsets[k].Time += 0.15
				}
			}
		}, OthersPop, 0, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(5, 5))
			throws, _ := thrown{fps: 60, delay: 0.02, slow: 1, declared: 1}.session(12, random)
			// Throw 4 is a 47: what its flight says is set to that.
			way := bullpen.Way{Metres: testWay.Metres + 0.6, Drag: testWay.Drag}
			first, _ := throws[4].Sound.between(throws[4].Release+0.2, throws[4].Release+1.2)
			throws[4].Sound.Onsets[first].Time = throws[4].Release + way.Seconds(47) + 0.02
			throws[4].Reading.Value = 47
			throws[4].Pitch = bullpen.ChangeUp
			if c.want == OthersPitch || c.want == OthersPop {
				throws[4].Reading.Value = 45
			}
			c.spoil(throws)
			got := FilmSpeedsOf(throws, testSetting).Throws[4]
			if got.Doubt != c.want {
				t.Fatalf("doubt %q, want %q (%+v)", got.Doubt, c.want, got)
			}
			if c.meant == 0 {
				if got.Meant != nil {
					t.Errorf("meant %+v", got.Meant)
				}
				return
			}
			if got.Meant == nil || got.Meant.Value != c.meant || got.Meant.Unit != c.unit {
				t.Errorf("meant %+v, want %g %s", got.Meant, c.meant, c.unit)
			}
		})
	}
}

// An offset of the sound in the file changes no calibrated speed by more than
// 0.3 mph.
func TestClockTakesUpTheOffset(t *testing.T) {
	speeds := func(delay float64) []FilmSpeed {
		throws, _ := thrown{fps: 60, delay: delay, slow: 1, declared: 1, others: 0.3}.session(16, rand.New(rand.NewPCG(8, 8)))
		return FilmSpeedsOf(throws, testSetting).Throws
	}
	base := speeds(0.02)
	for _, off := range []float64{-0.04, 0.04} {
		for i, f := range speeds(0.02 + off) {
			if d := math.Abs(float64(f.Speed - base[i].Speed)); d > 0.3 {
				t.Errorf("offset %+.2f s moves speed %d by %.2f mph", off, i, d)
			}
		}
	}
}

// Slow motion that nobody declared is recognised from all reps together, and
// asked about once it is declared no more.
func TestClockRecognisesSlowMotion(t *testing.T) {
	for _, slow := range []float64{1, 2, 4, 8} {
		for seed := range uint64(5) {
			random := rand.New(rand.NewPCG(seed, 21))
			o := thrown{fps: 120, delay: 0.03, slow: slow, declared: 1, others: 0.3, missing: 0.1}
			throws, _ := o.session(12, random)
			if got := FilmSpeedsOf(throws, testSetting); got.Slowed != slow {
				t.Errorf("slowed %g, seed %d: got %g", slow, seed, got.Slowed)
			}
			for i := range throws {
				throws[i].Slow = slow
			}
			if got := FilmSpeedsOf(throws, testSetting); got.Slowed != 1 || !got.Calibrated {
				t.Errorf("slowed %g and declared, seed %d: got %g", slow, seed, got.Slowed)
			}
		}
	}
}

// Without readings the delay is the sound's way to the phone, and the speeds say
// that they are worth less.
func TestClockWithoutReadings(t *testing.T) {
	throws, truth := thrown{fps: 60, delay: 7.0 / 343, slow: 1, declared: 1}.session(8, rand.New(rand.NewPCG(3, 9)))
	calibrated := FilmSpeedsOf(throws, testSetting)
	for i := range throws {
		throws[i].Reading = nil
	}
	got := FilmSpeedsOf(throws, testSetting)
	if got.Calibrated || math.Abs(got.Delay-7.0/343) > 1e-9 || got.Slowed != 0 {
		t.Errorf("%+v", got)
	}
	for i, f := range got.Throws {
		if f.Doubt != NoDoubt || math.Abs(float64(f.Speed-truth[i])) > 3*float64(f.U) || f.U <= calibrated.Throws[i].U {
			t.Errorf("throw %d: %+v, true %.1f, calibrated %+v", i, f, truth[i], calibrated.Throws[i])
		}
	}
}

// Nothing, silence and nonsense have no film speed and no doubt.
func TestClockOfNothing(t *testing.T) {
	FilmSpeedsOf(nil, Setting{})
	for _, sound := range []*Sound{nil, {}} {
		got := FilmSpeedsOf([]Throw{{Sound: sound, Slow: 1, Release: 3}, {Sound: sound}}, testSetting)
		for _, f := range got.Throws {
			if f.Speed != 0 || !math.IsNaN(f.Pop) || f.Doubt != NoDoubt {
				t.Errorf("%+v", f)
			}
		}
	}
}

// Where too few pops are near their readings for a delay of the film's own, what was settled
// before stays.
func TestWhatCannotBeSettledChangesNothing(t *testing.T) {
	throws, _ := thrown{fps: 60, delay: 0.024, slow: 1, declared: 1}.session(16, rand.New(rand.NewPCG(3, 3)))
	c := newClocking(throws, testSetting)
	if !c.calibrate() {
		t.Fatal("not calibrated")
	}
	delay, part := c.delay, slices.Clone(c.part)
	for i := leastOwn - 1; i < len(c.chosen); i++ {
		c.chosen[i] = -1
	}
	if c.settle() {
		t.Fatal("settled by too few")
	}
	if c.delay != delay || !slices.Equal(c.part, part) {
		t.Errorf("delay %g, was %g; shares %v, were %v", c.delay, delay, c.part, part)
	}
}
