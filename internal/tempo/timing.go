package tempo

import (
	"math"

	"tenoff/internal/bullpen"
)

// RepTiming is what is known of when things happened in one rep: what a person
// marked and what event transfer found, both in real seconds of the rep's film.
type RepTiming struct {
	RepID string
	Pitch bullpen.Pitch
	// Full is false for drills and warm-ups, which are compared with nothing.
	Full   bool
	View   bullpen.View // of the rep's film
	Marked Instants     // by hand; NaN where no mark was made
	// Gaps are the real seconds between the frames around each mark, see GapsOf.
	Gaps  Instants
	Found *Transferred // nil where event transfer was not run or refused
}

// TimingOf gathers what is known of a rep on its film. found is nil where event
// transfer has nothing to say.
func TimingOf(rep bullpen.Rep, film bullpen.Film, found *Transferred) RepTiming {
	return RepTiming{
		RepID: rep.ID, Pitch: rep.Pitch, Full: rep.Drill == "" && !rep.WarmUp, View: film.View,
		Marked: InstantsOf(rep, film.Clock), Gaps: GapsOf(rep, film.Clock), Found: found,
	}
}

// GapsOf returns, for each mark of the rep, the width in real seconds of the span
// that is nearer to its frame than to any other: the mean gap to the frames on
// both sides. NaN for a mark that was not made.
func GapsOf(rep bullpen.Rep, clock bullpen.Clock) Instants {
	last := clock.Frames() - 1
	at := func(frame int) float64 {
		if frame < 0 || frame > last || last == 0 {
			return math.NaN()
		}
		before, after := max(frame-1, 0), min(frame+1, last)
		return clock.RealSeconds(before, after) / float64(after-before)
	}
	return Instants{at(rep.Drive), at(rep.Plant), at(rep.Top), at(rep.Release)}
}

// Source says where a rep's time comes from.
type Source string

// The sources of a time.
const (
	ByHand   Source = "marks" // at least one end is a hand mark
	ByFinder Source = "found" // event transfer found both ends
)

// Spreads, in seconds, with which event transfer finds an instant on generated
// film from the side. They are a floor under the spread of a handful of reps.
const (
	legsFoundSD    = 0.0035 // drive, plant
	topFoundSD     = 0.0010
	releaseFoundSD = 0.0015
	// armGap is the widest gap between frames at which hand marks time the arm:
	// the arm's time is about 0.13 s, four frames at 30 a second.
	armGap = 1.0 / 100
	// unknownGap is taken where nobody said how far frames lie apart, seconds.
	unknownGap = 1.0 / 30
	// agree is how many standard uncertainties a mark may lie from what was found
	// and still mean the same instant.
	agree = 3
)

// timed is the time between two instants, seconds.
type timed struct {
	seconds float64 // NaN is not known
	u       float64 // standard uncertainty of the measurement alone
	source  Source
}

// known says whether there is a time.
func (t timed) known() bool { return t.seconds > 0 && !math.IsInf(t.seconds, 1) }

// moment is one instant of a rep.
type moment struct {
	at, u, gap float64
	byHand     bool
}

// momentOf chooses between a mark and what was found. A mark that agrees with
// what was found stands for that finer instant; one that does not was moved on
// purpose and wins.
func momentOf(mark, gap float64, f Found, ran bool, sd, eye float64) moment {
	if !(gap >= 0) || math.IsInf(gap, 1) {
		gap = unknownGap
	}
	u := MarkUncertainty(gap, eye)
	found := ran && f.Sure
	switch {
	case found && !(math.Abs(mark-f.Seconds) > agree*u):
		return moment{at: f.Seconds, u: sd}
	default:
		return moment{at: mark, u: u, gap: gap, byHand: true}
	}
}

// times returns the rep's legs and arm time; eye is the instructor's own spread
// in seconds. Hand marks give no arm time where frames lie too far apart.
func (r RepTiming) times(eye float64) (legs, arm timed) {
	var f Transferred
	if r.Found != nil {
		f = *r.Found
	}
	at := func(mark, gap float64, found Found, sd float64) moment {
		return momentOf(mark, gap, found, r.Found != nil, sd, eye)
	}
	between := func(a, b moment) timed {
		t := timed{seconds: span(a.at, b.at), u: DurationUncertainty(a.u, b.u), source: ByFinder}
		if a.byHand || b.byHand {
			t.source = ByHand
		}
		return t
	}
	legs = between(
		at(r.Marked.Drive, r.Gaps.Drive, f.Drive, legsFoundSD),
		at(r.Marked.Plant, r.Gaps.Plant, f.Plant, legsFoundSD))
	top := at(r.Marked.Top, r.Gaps.Top, f.Top, topFoundSD)
	release := at(r.Marked.Release, r.Gaps.Release, f.Release, releaseFoundSD)
	arm = between(top, release)
	if top.gap > armGap || release.gap > armGap {
		arm.seconds = math.NaN()
	}
	return legs, arm
}
