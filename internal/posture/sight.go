package posture

import (
	"math"

	"tenoff/internal/bullpen"
)

// Sight is an instant as her joints show it: real seconds of the film and their standard
// uncertainty. The zero value is one that is not seen.
type Sight struct{ Seconds, U float64 }

// Seen reports whether the instant is seen at all.
func (s Sight) Seen() bool { return s.U > 0 }

// Sights are the instants of one delivery that joints show. When the drive begins they
// don't: the stride foot leaves too softly.
type Sights struct{ Plant, Top, Release Sight }

// At returns the sight of an instant; the drive is never seen.
func (s Sights) At(e bullpen.Event) Sight {
	switch e {
	case bullpen.Plant:
		return s.Plant
	case bullpen.Top:
		return s.Top
	case bullpen.Release:
		return s.Release
	}
	return Sight{}
}

// Working values of Sights: how far joints were off on rendered deliveries with known
// instants (rendered_test.go of package joints), and where they are looked for.
const (
	plantOff   = 0.012 // seconds, standard uncertainty beside the frame's own
	topOff     = 0.018
	releaseOff = 0.010 // also of where in the circle she lets go

	topAngle     = 180.0 // of the arm, degrees from straight down, forward and up
	releaseAngle = 360.0
	// The top is looked for from so long before the release that was said until so long
	// after it: a release that was only guessed comes up to 60 ms early.
	topBefore, topAfter = 0.45, 0.05
	// leastTurn is the slowest that an arm passes 12 o'clock in a pitch, degrees a second:
	// half of what girls of 12 were measured to reach on average over the circle.
	leastTurn = 300.0
	// longestDown is the longest way from the top down to release, seconds.
	longestDown = 0.35
)

// Sights finds the instants of the delivery that is released about then, real seconds of
// the film: the top where the arm, from the shoulder to the wrist, passes straight up, and
// the release where it passes straight down after it, as one camera sees it (windmill
// pitchers let go beside the hip, at about six o'clock: Werner et al. 2006, Am. J. Sports
// Med. 34(4), from memory). An instant round which the wrist is a smear is not seen: the
// finder has to be sure of it in each of five frames a little, and on average well.
func (b *Body) Sights(about float64, right bool) Sights {
	var s Sights
	shoulder, wrist := RightShoulder, RightWrist
	if !right {
		shoulder, wrist = LeftShoulder, LeftWrist
	}
	seen := func(seconds float64) bool {
		return b.sees(seconds, jointSure, shoulder, wrist) && b.sureOf(wrist, seconds) >= wristSure
	}
	angle := b.circle(shoulder, wrist)
	top, turns := b.topOf(angle, about)
	if !math.IsNaN(top) {
		if seen(top) {
			s.Top = b.sight(top, topOff)
		}
		from := b.index(top)
		for i := from + 1; i < b.Len() && float64(i-from) <= longestDown*b.Rate; i++ {
			if at, ok := b.passes(angle, i, releaseAngle+turns); ok {
				if seen(at) {
					s.Release = b.sight(at, releaseOff)
				}
				about = at
				break
			}
		}
	}
	if contact, ok := b.FootContact(about, right); ok {
		s.Plant = b.sight(contact, plantOff)
	}
	return s
}

// SightsIn finds the instants in a track: none where she is not seen well enough.
func SightsIn(t Track, about float64, right bool) Sights {
	if len(t) > 1 {
		if b, err := Of(t, t.Rate()); err == nil {
			return b.Sights(about, right)
		}
	}
	return Sights{}
}

// sureOf is how sure a joint is on average over the samples round an instant.
func (b *Body) sureOf(j Joint, seconds float64) float64 {
	sum, n := 0.0, 0.0
	for i := max(b.index(seconds)-looksRound, 0); i <= min(b.index(seconds)+looksRound, b.Len()-1); i++ {
		sum, n = sum+b.joints[j].sure[i], n+1
	}
	return sum / n
}

// sight is an instant with what its frames' distance and the finder's own unrest make it
// unsure by (JCGM 100:2008, F.2.2.1 and 5.1.2).
func (b *Body) sight(seconds, off float64) Sight {
	return Sight{Seconds: seconds, U: math.Hypot(off, 1/b.Rate/math.Sqrt(12))}
}

// circle returns the arm's angle sample by sample, degrees from straight down, forward and
// up, unwrapped.
func (b *Body) circle(shoulder, wrist Joint) []float64 {
	s, w := b.joints[shoulder], b.joints[wrist]
	out := make([]float64, b.Len())
	for i := range out {
		out[i] = degrees(math.Atan2(w.x[i]-s.x[i], s.y[i]-w.y[i]))
		if i > 0 {
			out[i] += 360 * math.Round((out[i-1]-out[i])/360)
		}
	}
	return out
}

// passes reports when, between samples i-1 and i, an angle passes a value upwards.
func (b *Body) passes(angle []float64, i int, value float64) (seconds float64, ok bool) {
	if i < 1 || angle[i-1] >= value || angle[i] < value {
		return math.NaN(), false
	}
	return b.Begin + (float64(i)-(angle[i]-value)/(angle[i]-angle[i-1]))/b.Rate, true
}

// topOf returns when the arm passes straight up fastest round a release, and by how many
// whole turns, in degrees, its angle is then unwrapped; NaN if it doesn't.
func (b *Body) topOf(angle []float64, about float64) (top, turns float64) {
	top = math.NaN()
	fastest := leastTurn
	first, last := b.index(about-topBefore), b.index(about+topAfter)
	for i := max(first, 2); i <= min(last, b.Len()-2); i++ {
		whole := 360 * math.Floor((angle[i]-topAngle)/360)
		at, ok := b.passes(angle, i, topAngle+whole)
		if speed := (angle[i+1] - angle[i-2]) / 3 * b.Rate; ok && speed > fastest {
			top, turns, fastest = at, whole, speed
		}
	}
	return top, turns
}

// Beside says how a sight stands to what another witness says of the same instant.
type Beside string

// How two witnesses stand to one another.
const (
	// BesideNothing: one of them saw nothing, or they lie between the two below.
	BesideNothing Beside = ""
	// BesideAgrees: no further apart than both are unsure (95 %).
	BesideAgrees Beside = "agrees"
	// BesideDiffers: by more than two frames, and by more than both are unsure.
	BesideDiffers Beside = "differs"
)

// Beside compares a sight with an instant that another witness puts at these real seconds
// of the film with a standard uncertainty u; gap is the time between frames there.
func (s Sight) Beside(seconds, u, gap float64) Beside {
	const sure, frames = 2, 2
	apart, unsure := math.Abs(s.Seconds-seconds), sure*math.Hypot(s.U, u)
	switch {
	case !s.Seen():
		return BesideNothing
	case apart <= unsure:
		return BesideAgrees
	case apart > max(frames*gap, unsure):
		return BesideDiffers
	}
	return BesideNothing // NaN too
}
