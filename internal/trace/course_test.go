package trace

import (
	"fmt"
	"math"
	"os"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
)

// undeclared films a bullpen as it looks where nobody said that the film is slowed.
func undeclared(t testing.TB, name string, o demo.Options) session {
	t.Helper()
	return filmed(t, name, o, false)
}

// Slow motion that nobody declared is seen as such, with sound and without; its reps
// are proposed and none of anything is sure.
func TestUndeclaredSlowMotion(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		some bool // of its reps are proposed: from the side most of what is slowed so much sinks under the noise
		o    demo.Options
	}{
		{"twice, half behind, silent", false, demo.Options{Seed: 81, Slow: 2, Pace: demo.FPS(60, 1), View: bullpen.ViewDiagonal, Sound: demo.Sound{Off: true}}},
		{"four times, from the side", false, demo.Options{Seed: 82, Slow: 4, Pace: demo.FPS(120, 1)}},
		{"eight times, from the side", true, demo.Options{Seed: 86, Slow: 8, Pace: demo.FPS(240, 1)}},
		{"eight times, behind", false, demo.Options{Seed: 83, Slow: 8, Pace: demo.FPS(240, 1), View: bullpen.ViewBehind}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			c.o.Reps, c.o.Rest, c.o.Handheld, c.o.Noise = pitches(3), 4.5, 3, 4
			s := undeclared(t, c.name, c.o)
			f := Find(s.motion, s.sound)
			if f.Slowed != float64(c.o.Slow) {
				t.Errorf("seems to play %g times slower, is %d", f.Slowed, c.o.Slow)
			}
			if got := s.compare(f); got.sure+got.false_+got.mimics != 0 || !c.some && got.asked != got.reps || got.asked == 0 {
				t.Errorf("%d reps: %d are sure, %d asked about; sure besides: %d", got.reps, got.sure, got.asked, got.false_)
			}
			// Said to play as filmed, it is believed.
			said := *s.motion
			said.Said = true
			if f := Find(&said, s.sound); f.Slowed != 1 {
				t.Errorf("somebody said that it is not slowed; it is said to play %g times slower", f.Slowed)
			}
		})
	}
}

// swelling is how much moves in the course of a delivery, between its samples too; outside of
// it as before it.
func swelling(at float64) float64 {
	if at < 0 || at > float64(len(course)-1) {
		return course[0]
	}
	k := min(int(at), len(course)-2)
	return course[k] + (at-float64(k))*(course[k+1]-course[k])
}

// What swells and ebbs as a delivery does in slow motion is none unless she stood still
// before and after: whoever walks through the picture or dances does not.
func TestSlowMotionComesOutOfStillness(t *testing.T) {
	t.Parallel()
	const times, seconds = 2.5, 12
	for floor, want := range map[float64]bool{0: true, 0.1: false, 0.2: false} {
		r := &coarseMotion{cells: make([][]float32, seconds*reelRate), moved: make([]float64, seconds*reelRate)}
		for i := range r.moved {
			v := swelling((float64(i)/reelRate-seconds/2.0)/times/courseStep + courseRelease)
			r.moved[i] = 1e4 * (v*v + floor)
		}
		like, _ := r.courseAt(r.tideOf(nil, 0), 2.38)
		if like < slowLeast {
			t.Errorf("with %g of it moving always, it is like the course by %.2f only", floor, like)
		}
		if slow := r.slowness(); (slow > 1) != want {
			t.Errorf("with %g of it moving always, it seems to play %.2f times slower", floor, slow)
		}
	}
}

// How many times slower deliveries go than usual ones is read off the course of what moves,
// between the tempos that are tried too: what goes 6.1 times slower is nearer to a film
// slowed eight times than to one slowed four.
func TestSlowness(t *testing.T) {
	t.Parallel()
	for _, times := range []float64{1.8, 2, 2.3, 3.6, 4, 4.4, 6.1, 7, 8, 9.2} {
		const each, before = 5.5, 1.5 // seconds of life: of each of three deliveries, and of that before it begins
		r := &coarseMotion{}
		for range 3 {
			for k := range int(each * times * reelRate) {
				v := swelling((float64(k)/reelRate/times - before) / courseStep)
				r.moved = append(r.moved, 1e4*v*v)
			}
		}
		r.cells = make([][]float32, len(r.moved))
		if got := r.slowness(); math.Abs(math.Log(got/times)) > 0.06 {
			t.Errorf("deliveries that take %g times as long seem to take %.2f", times, got)
		}
	}
}

// What a film seems slowed by stands for a usual ratio: from the side one slowed much seems
// slowed by less, and at 24 frames a second the ratios are others.
func TestUsualSlow(t *testing.T) {
	t.Parallel()
	for rate, of := range map[float64]map[float64]float64{
		30: {0.9: 1, 1: 1, 1.5: 2, 1.9: 2, 2.5: 2, 2.7: 4, 3.8: 4, 4.3: 4, 5.1: 4, 5.3: 8, 5.8: 8, 6.1: 8, 9.3: 8},
		24: {1: 1, 1.9: 2.5, 3.2: 2.5, 3.3: 5, 4.8: 5, 6.4: 5, 6.6: 10, 7.3: 10},
	} {
		m := &Motion{Slow: 1}
		for i := range 10 {
			m.Times = append(m.Times, float64(i)/rate)
		}
		for times, want := range of {
			if got := usualSlow(times, m); got != want {
				t.Errorf("at %g frames a second %g times stands for %g, want %g", rate, times, got, want)
			}
		}
	}
}

// Without a sound that tells, and before anything is marked, no rep is sure; one mark
// makes the others so.
func TestMotionAloneIsNeverSure(t *testing.T) {
	t.Parallel()
	s := newSession(t, "silent", demo.Options{Seed: 84, Reps: pitches(4), Rest: 4.6, Pace: demo.FPS(30, 1), Sound: demo.Sound{Off: true}})
	if got := s.compare(Find(s.motion, nil)); got.sure != 0 || got.asked != got.reps || got.false_+got.ask_ != 0 {
		t.Errorf("%d reps: %d sure, %d asked about; besides %d", got.reps, got.sure, got.asked, got.false_+got.ask_)
	}
	mark := s.truth.Clock.FileSeconds(s.truth.Reps[1].Release.Frame)
	if got := s.compare(Transfer(s.motion, nil, []float64{mark})); got.sure != got.reps {
		t.Errorf("with one marked: %d of %d sure", got.sure, got.reps)
	}
}

// BenchmarkSlowMotion films bullpens at the speed of life and slowed 2, 4 and 8 times,
// nobody saying so, and prints of how many films how much is right:
//
//	go test ./internal/trace -run '^$' -bench SlowMotion -benchtime 1x -films 2 -films.seed 9000 -timeout 60m
func BenchmarkSlowMotion(b *testing.B) {
	for b.Loop() {
		for _, slow := range []int{1, 2, 4, 8} {
			many, right, asked, reps, proposed, sure, false_ := 0, 0, 0, 0, 0, 0, 0
			for k := range *films {
				for v, view := range []bullpen.View{bullpen.ViewSide, bullpen.ViewDiagonal, bullpen.ViewBehind} {
					rate := int64(30 * slow)
					o := demo.Options{
						Seed: *filmsSeed + uint64(1000*k+10*v+slow), Reps: pitches(5), Rest: 5, Handheld: 4, Noise: 5,
						Slow: slow, Pace: demo.FPS(rate, 1), View: view,
					}
					s := undeclared(b, "", o)
					for _, sound := range []*Sound{s.sound, nil} {
						f := Find(s.motion, sound)
						got := s.compare(f)
						many++
						if f.Slowed == float64(slow) {
							right++
						}
						if f.Slowed > 1 {
							asked++
						}
						reps, proposed, sure, false_ = reps+got.reps, proposed+got.sure+got.asked, sure+got.sure, false_+got.false_
					}
				}
			}
			fmt.Fprintf(os.Stderr, "slowed %d times: %d films, called slowed %d, rightly how much %d; %d reps, proposed %d, sure %d; sure and no rep %d\n", slow, many, asked, right, reps, proposed, sure, false_)
			if slow > 1 && sure+false_ > 0 {
				b.Errorf("slowed %d times, undeclared: %d are sure", slow, sure+false_)
			}
		}
	}
}
