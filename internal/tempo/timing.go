package tempo

import (
	"math"

	"tenoff/internal/bullpen"
)

// RepTiming is what is known of when things happened in one rep: what a person
// marked and what event transfer found, both in real seconds of the rep's film.
type RepTiming struct {
	RepID string
	Order int // where it stands in the order thrown, as bullpen.Rep.Order
	Pitch bullpen.Pitch
	Drill string // "" is the full pitch; reps are compared within one drill
	// Full is false for warm-ups, which are compared with nothing.
	Full   bool
	Filmed bool         // it is on a film, whatever is known of when things happened on it
	View   bullpen.View // of the rep's film
	Marked Instants     // by hand; NaN where no mark was made
	// Gaps are the real seconds between the frames around each mark, see GapsOf.
	Gaps  Instants
	Found *Transferred // nil where event transfer was not run or refused
}

// TimingOf gathers what is known of a rep on its film. found is nil where event
// transfer has nothing to say. cadence is the film's: a mark counts as of when its
// picture was taken, as what was found does.
func TimingOf(rep bullpen.Rep, film bullpen.Film, cadence bullpen.Cadence, found *Transferred) RepTiming {
	return RepTiming{
		RepID: rep.ID, Order: rep.Order, Pitch: rep.Pitch, Drill: rep.Drill, Full: !rep.WarmUp, Filmed: rep.FilmID != "", View: film.View,
		Marked: InstantsOf(rep, film.Clock).taken(cadence), Gaps: GapsOf(rep, film.Clock), Found: found,
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

// FoundU returns the standard uncertainty, in seconds, with which event transfer finds an
// instant.
func FoundU(e bullpen.Event) float64 {
	switch e {
	case bullpen.Top:
		return topFoundSD
	case bullpen.Release:
		return releaseFoundSD
	}
	return legsFoundSD
}

// FoundSpread returns how far a found instant lies from the truth, in seconds, the mark's own
// error taken off: 99 of 100 are within 2.576 of it, whose tails are wider than a normal law's,
// so that their standard deviation may be less. Other than FoundU it holds what is common to
// all reps of a film as well, which falls out of their comparison. On 72 generated films from
// the side and aside, of all tempos, the 99 % quantile over 2.576 came, in the order of the
// instants, to 7.7, 5.4, 5.1 and 3.7 ms at 30 frames a second and 6.7, 5.7, 5.7 and 4.3 at 60,
// rounded up here. Other rates are taken to be alike: at 120, on 6 films, all lay within as many
// frames as that makes.
func FoundSpread(e bullpen.Event) float64 {
	switch e {
	case bullpen.Plant, bullpen.Top:
		return 0.0060
	case bullpen.Release:
		return 0.0050
	}
	return 0.0080
}

// timed is the time between two instants, seconds.
type timed struct {
	seconds float64 // NaN is not known
	u       float64 // standard uncertainty of the measurement alone
	source  Source
	match   float64 // of both ends together, where both were found
}

// known says whether there is a time.
func (t timed) known() bool { return t.seconds > 0 && !math.IsInf(t.seconds, 1) }

// Moment is one instant of a rep as it counts: marked, or found.
type Moment struct {
	Seconds float64 `json:"seconds"` // real seconds of the rep's film
	U       float64 `json:"u"`       // standard uncertainty, seconds
	From    Source  `json:"from"`

	gap   float64 // of the frames around a mark, real seconds; 0 for what was found
	match float64 // of what was found
}

// Moments are the four instants of a rep as they count; nil is not known.
type Moments struct {
	Drive   *Moment `json:"drive,omitempty"`
	Plant   *Moment `json:"plant,omitempty"`
	Top     *Moment `json:"top,omitempty"`
	Release *Moment `json:"release,omitempty"`
}

// momentOf chooses between a mark and what was found. A mark that agrees with
// what was found stands for that finer instant; one that does not was moved on
// purpose and wins.
func momentOf(mark, gap float64, f Found, ran bool, sd, eye float64) *Moment {
	if !(gap >= 0) || math.IsInf(gap, 1) {
		gap = unknownGap
	}
	u := MarkUncertainty(gap, eye)
	switch {
	case ran && f.Sure && !(math.Abs(mark-f.Seconds) > agree*u):
		return &Moment{Seconds: f.Seconds, U: sd, From: ByFinder, match: f.Match}
	case math.IsNaN(mark) || math.IsInf(mark, 0):
		return nil
	}
	return &Moment{Seconds: mark, U: u, From: ByHand, gap: gap}
}

// between is the time from a to b.
func between(a, b *Moment) timed {
	if a == nil || b == nil {
		return timed{seconds: math.NaN()}
	}
	t := timed{seconds: span(a.Seconds, b.Seconds), u: DurationUncertainty(a.U, b.U), source: ByFinder, match: a.match + b.match}
	if a.From == ByHand || b.From == ByHand {
		t.source = ByHand
	}
	return t
}

// times returns the rep's instants as they count, and its legs and arm time; eye
// is the instructor's own spread in seconds. Hand marks give no arm time where
// frames lie too far apart.
func (r RepTiming) times(eye float64) (m Moments, legs, arm timed) {
	var f Transferred
	if r.Found != nil {
		f = *r.Found
	}
	at := func(mark, gap float64, found Found, sd float64) *Moment {
		return momentOf(mark, gap, found, r.Found != nil, sd, eye)
	}
	m = Moments{
		Drive:   at(r.Marked.Drive, r.Gaps.Drive, f.Drive, legsFoundSD),
		Plant:   at(r.Marked.Plant, r.Gaps.Plant, f.Plant, legsFoundSD),
		Top:     at(r.Marked.Top, r.Gaps.Top, f.Top, topFoundSD),
		Release: at(r.Marked.Release, r.Gaps.Release, f.Release, releaseFoundSD),
	}
	legs, arm = between(m.Drive, m.Plant), between(m.Top, m.Release)
	if arm.known() && max(m.Top.gap, m.Release.gap) > armGap {
		arm.seconds = math.NaN()
	}
	return m, legs, arm
}
