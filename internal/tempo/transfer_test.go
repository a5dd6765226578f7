package tempo

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/proc"
	"tenoff/internal/trace"
)

// usual is a small film as phones make it: shaky hand, noisy picture.
func usual(seed uint64, tempo demo.Tempo, stretch float64) demo.Options {
	return demo.Options{
		Seed: seed, Reps: demo.Series(5, 5, tempo, stretch), Rest: 4.6, Steady: true,
		Handheld: 4, Noise: 5, Pace: demo.FPS(30, 1), Sound: demo.Sound{Off: true},
	}
}

// kinds are what a pitcher does with her off-speed pitches, each with a pitch of its
// own, so that one film and its fastballs serve for all.
var kinds = []demo.RepSpec{
	{Pitch: bullpen.ChangeUp, Tempo: demo.Body, Stretch: 1.15},
	{Pitch: bullpen.Drop, Tempo: demo.ArmLate, Stretch: 1.15},
	{Pitch: bullpen.Curve, Stiff: true},
	{Pitch: bullpen.Rise, Posture: 1},
}

// TestTransfer follows every kind of off-speed pitch, five against five fastballs.
func TestTransfer(t *testing.T) {
	o := usual(17, demo.Same, 1)
	o.Reps = nil
	for range 5 {
		o.Reps = append(append(o.Reps, demo.RepSpec{Pitch: bullpen.Fastball}), kinds...)
	}
	f := film(t, o)
	t.Run("an own film", func(t *testing.T) {
		if c := f.motion.Cadence().Cadence; c != (bullpen.Cadence{}) {
			t.Errorf("a phone's own film keeps a cadence: %+v", c)
		}
	})
	for _, k := range []struct {
		name  string
		pitch bullpen.Pitch
		check func(*testing.T, seen)
	}{
		{"a slowed body", bullpen.ChangeUp, slowedBody},
		{"a late arm", bullpen.Drop, lateArm},
		{"a stiff finish", bullpen.Curve, stiffFinish},
		{"another posture", bullpen.Rise, anotherPosture},
	} {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			k.check(t, f.against(k.pitch).transfer(t, o.Seed))
		})
	}
	t.Run("refusals", func(t *testing.T) {
		t.Parallel()
		refuses(t, f.against(bullpen.ChangeUp))
	})
}

// against keeps the fastballs and the reps of one pitch.
func (f filmed) against(p bullpen.Pitch) filmed {
	keep := f
	keep.truth.Reps = slices.DeleteFunc(slices.Clone(f.truth.Reps), func(r demo.RepTruth) bool {
		return r.Pitch != bullpen.Fastball && r.Pitch != p
	})
	return keep
}

// A slower body is seen as one, in legs and arm.
func slowedBody(t *testing.T, s seen) {
	if s.check.Verdict != SlowedBody {
		t.Errorf("verdict %q, want %q (legs %.3f to %.3f)", s.check.Verdict, SlowedBody, s.legsLow, s.legsHigh)
	}
	if d := math.Abs(s.legs - s.legsTrue); d > 0.03 {
		t.Errorf("legs %.3f, truly %.3f", s.legs, s.legsTrue)
	}
}

// The trap: with legs at full speed and the arm 15 % late, one stretch of the
// whole pattern reads a slow body. The legs' own time must not.
func lateArm(t *testing.T, s seen) {
	if s.check.Verdict == SlowedBody {
		t.Errorf("a late arm was taken for a slowed body (legs %.3f to %.3f)", s.legsLow, s.legsHigh)
	}
	if math.Abs(s.legs) > 0.035 {
		t.Errorf("legs contrast %.3f, want none", s.legs)
	}
	if d := math.Abs(s.legs - s.legsTrue); d > 0.03 {
		t.Errorf("legs %.3f, truly %.3f", s.legs, s.legsTrue)
	}
	if s.whole < 0.08 {
		t.Errorf("the whole pattern's stretch reads only %.3f: the trap is not set", s.whole)
	}
}

// A braked finish must not move the release.
func stiffFinish(t *testing.T, s seen) {
	if d := math.Abs(s.arm - s.armTrue); d > 0.04 {
		t.Errorf("arm %.3f, truly %.3f", s.arm, s.armTrue)
	}
	if s.check.Verdict == SlowedBody {
		t.Error("a stiff finish was taken for a slowed body")
	}
}

// A shorter stride, more lean and less opening, at the fastballs' own tempo, are no
// slow-down: a foot that lands elsewhere has not landed later.
func anotherPosture(t *testing.T, s seen) {
	if d := math.Abs(s.legs - s.legsTrue); d > 0.03 {
		t.Errorf("legs %.3f, truly %.3f", s.legs, s.legsTrue)
	}
	if s.check.Verdict == SlowedBody {
		t.Errorf("another posture was taken for a slowed body (legs %.3f to %.3f)", s.legsLow, s.legsHigh)
	}
	if s.check.legs.Unlike <= 0.02 {
		t.Errorf("the motion's other shape counts as %.3f only", s.check.legs.Unlike)
	}
}

func refuses(t *testing.T, f filmed) {
	few := f.some(0, 2, 1)
	if _, err := Transfer(few.deliveries(15)); bullpen.CodeOf(err) != bullpen.Refused {
		t.Errorf("two fastballs: %v, want a refusal", err)
	}
	reps := few.deliveries(15)
	for i := range reps {
		reps[i].Fast = true
		reps[i].Marked = Unknown()
	}
	if _, err := Transfer(reps); bullpen.CodeOf(err) != bullpen.Invalid {
		t.Errorf("no marks: %v, want to be told to mark one", err)
	}
	reps[0].Guess = f.motion.End + 10
	if _, err := Transfer(reps); bullpen.CodeOf(err) != bullpen.Refused {
		t.Errorf("a release after the film's end: %v, want a refusal", err)
	}
}

// Every sixth frame shown twice: mended, and the legs still right.
func TestTransferOfDoubledFrames(t *testing.T) {
	t.Parallel()
	o := usual(14, demo.Body, 1.12)
	o.Doubled = 6
	o.Rest = 4.57 // so that reps fall on all phases of the cadence
	f := film(t, o)
	if share := f.motion.DoubledShare(); share <= trace.Retimed {
		t.Errorf("share of doubled frames %.3f was not noticed", share)
	}
	if c := f.motion.Cadence(); c.Every != 6 || c.Repeats != 1 || c.Skips != 4 {
		t.Errorf("cadence %+v, want every sixth frame from 1 on repeated and the fourth after a gap", c)
	}
	s := f.transfer(t, 14)
	if s.legsSD > 0.022 {
		t.Errorf("the legs' times scatter by %.3f round the truth", s.legsSD)
	}
	if d := math.Abs(s.legs - s.legsTrue); d > 0.03 {
		t.Errorf("legs %.3f, truly %.3f", s.legs, s.legsTrue)
	}
	with, without, moved, all := picturesOff(f, s.found)
	t.Logf("of %d instants %d are marked on another picture, %d without the cadence", all, with, without)
	if all < 2*len(s.found) || with > 0 || moved > 0 || without < all/4 {
		t.Errorf("of %d instants found %d are marked on another picture, %d without the cadence, and %d marks count as moved", all, with, without, moved)
	}
}

// picturesOff says of how many instants the frame that accepting them marks shows
// another picture than the one truly taken nearest to them, with the film's cadence and
// without it, and how many of the marks count as moved by hand. Of a film whose every
// sixth frame shows the one before again.
func picturesOff(f filmed, found []Transferred) (with, without, moved, all int) {
	k, c := f.motion.Cadence(), f.truth.Clock
	step := c.RealSeconds(0, 1)
	picture := func(i int) int { // which one frame i shows, see demo.Options.Doubled
		if r := i % 6; r >= 1 && r <= 3 {
			return i - 1
		}
		return i
	}
	// Three of six pictures come a step late, so that the film's come half a step late.
	taken := func(i int) float64 { return (float64(picture(i)) + 0.5) * step }
	for _, t := range found {
		for _, x := range []Found{t.Drive, t.Plant, t.Top} {
			if !x.Sure {
				continue
			}
			all++
			best := 0
			for i := range c.Ticks {
				if math.Abs(taken(i)-x.Seconds) < math.Abs(taken(best)-x.Seconds)-1e-6 {
					best = i
				}
			}
			frame := k.Frame(c, x.Seconds)
			if frame != best {
				with++
			}
			if picture(bullpen.Cadence{}.Frame(c, x.Seconds)) != picture(best) {
				without++
			}
			if m := momentOf(k.Taken(c.RealSeconds(0, frame)), step, x, true, topFoundSD, EyeSpread); m.From != ByFinder {
				moved++
			}
		}
	}
	return with, without, moved, all
}

// BenchmarkTransfer finds the instants in 10, 20 and 40 reps, and prints how long
// that took for each rep: the cost grows with their number and no faster.
func BenchmarkTransfer(b *testing.B) {
	o := usual(16, demo.Same, 1)
	o.Reps = demo.Series(20, 20, demo.Same, 1)
	f := film(b, o)
	for _, n := range []int{5, 10, 20} {
		b.Run(fmt.Sprintf("%d reps", 2*n), func(b *testing.B) {
			reps := f.some(0, n, n).deliveries(16)
			before := proc.Own()
			for b.Loop() {
				if _, err := Transfer(reps); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(b.Elapsed().Seconds()*1000/float64(len(reps)*b.N), "ms/rep")
			b.ReportMetric(1000*(proc.Own()-before).Seconds()/float64(len(reps)*b.N), "cpu-ms/rep")
		})
	}
}
