package trace

import (
	"math"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
)

// eachCarried marks one release after the other, as near as frames of 240 a second let it be,
// and holds each other one that is surely found from it to what is said of it; see hears of
// the marked rep m, of i, and within how many real seconds i is said to be known.
func (s session) eachCarried(t *testing.T, see func(m, i int, known float64)) {
	t.Helper()
	for m, marked := range s.truth.Reps {
		mark := math.Round(marked.Release.Seconds*240) / 240
		f := Transfer(s.motion, nil, []float64{mark})
		for i, k := range s.compare(f).hit {
			if i == m || k < 0 || math.IsNaN(f.Candidates[k].Found) {
				continue
			}
			known := Surely * f.Candidates[k].Spread
			if off := f.Candidates[k].Found - s.truth.Reps[i].Release.Seconds - (mark - marked.Release.Seconds); math.Abs(off) > known {
				t.Errorf("release %d is found from release %d %.1f ms off, and said to be known to %.1f", i+1, m+1, 1000*off, 1000*known)
			}
			see(m, i, known)
		}
	}
}

// What a release is unsure by holds from whichever one is marked, at 60 frames a second and
// more, of which a meter looks at some 60. None is known to such a frame, those of pitches alike are
// to one of 120. Where her arm lets go much later after her body than on the marked one,
// less is known, and nothing where what was found may be something else.
func TestAReleaseIsKnownToWhatIsSaid(t *testing.T) {
	t.Parallel()
	s := newSession(t, "late arm", demo.Options{
		Seed: 6610, Reps: demo.Series(4, 2, demo.ArmLate, 1.15), View: bullpen.ViewDiagonal,
		Rest: 4.6, Pace: demo.FPS(60, 1), Handheld: 4, Noise: 5, Sound: demo.Sound{Off: true},
	})
	var alike []float64
	s.eachCarried(t, func(m, i int, known float64) {
		if s.truth.Reps[i].Tempo == demo.Same && s.truth.Reps[m].Tempo == demo.Same {
			alike = append(alike, known)
		}
		if known < 1.0/240 {
			t.Errorf("release %d is said to be known to %.1f ms", i+1, 1000*known)
		}
	})
	if len(alike) != 4*3 || median(alike) > 1.0/120 {
		t.Errorf("her fastballs' releases are known to %.4f s from one another", alike)
	}
}

// At 30 frames a second releases of pitches alike are known half as well as at 60, and no
// better than is said.
func TestAReleaseIsKnownToLessAt30(t *testing.T) {
	t.Parallel()
	for i, view := range []bullpen.View{bullpen.ViewSide, bullpen.ViewDiagonal, bullpen.ViewBehind} {
		t.Run(string(view), func(t *testing.T) {
			t.Parallel()
			s := newSession(t, "30", demo.Options{
				Seed: 6630 + uint64(i), Reps: pitches(6), View: view,
				Rest: 4.6, Pace: demo.FPS(30, 1), Handheld: 4, Noise: 5, Sound: demo.Sound{Off: true},
			})
			s.eachCarried(t, func(int, int, float64) {})
		})
	}
}

// From a late arm's mark the film's mean shows the follow-through of all whose arms are not
// late: those are not surely found there, a sixth of a second after they let go.
func TestALateArmsMarkIsNoOthers(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		seed uint64
		view bullpen.View
	}{{6610, bullpen.ViewDiagonal}, {6612, bullpen.ViewDiagonal}, {6612, bullpen.ViewBehind}} {
		t.Run(string(c.view), func(t *testing.T) {
			t.Parallel()
			s := newSession(t, "late arm at 30", demo.Options{
				Seed: c.seed, Reps: demo.Series(4, 2, demo.ArmLate, 1.15), View: c.view,
				Rest: 4.6, Pace: demo.FPS(30, 1), Handheld: 4, Noise: 5, Sound: demo.Sound{Off: true},
			})
			fastballs := 0
			for m, marked := range s.truth.Reps {
				f := Transfer(s.motion, nil, []float64{marked.Release.Seconds})
				for i, k := range s.compare(f).hit {
					if k < 0 || math.IsNaN(f.Candidates[k].Found) {
						continue
					}
					if off := f.Candidates[k].Found - s.truth.Reps[i].Release.Seconds; math.Abs(off) > 1.0/30 {
						t.Errorf("release %d is surely found from release %d %.0f ms off", i+1, m+1, 1000*off)
					}
					if i != m && marked.Tempo == demo.Same && s.truth.Reps[i].Tempo == demo.Same {
						fastballs++
					}
				}
			}
			if fastballs != 4*3 {
				t.Errorf("of 12 releases of fastballs %d were surely found from another's", fastballs)
			}
		})
	}
}
