package tempo

import (
	"fmt"
	"math"
	"strings"

	"tenoff/internal/bullpen"
)

// Phase is the time between two instants on two reps, beside each other.
type Phase struct {
	From, To  bullpen.Event
	Off, Fast float64 // seconds
	U         float64 // standard uncertainty of measuring the difference, seconds
	Own       Own     // where the off-speed rep lies beside her own fastballs
}

// Own says where a phase of an off-speed rep lies beside the pitcher's own fastballs: by
// what a bullpen's page judges the rep, so that two reps side by side are never called
// clearly apart that are there called alike.
type Own string

// The places.
const (
	OwnUnknown Own = ""         // too few fastballs to compare with
	OwnUsual   Own = "usual"    // within her own fastballs' spread
	OwnBeyond  Own = "beyond"   // beyond it, and the other rep is not
	OwnOdd     Own = "odd"      // the rep that it stands beside is itself beyond it
	OwnNot     Own = "unjudged" // no such time is judged: it stands there as a number
)

// ownOfPair says where off's pace lies, the other rep's beside it.
func ownOfPair(off, fast *BodySpeed) Own {
	switch {
	case off == nil:
		return OwnUnknown
	case off.Within:
		return OwnUsual
	case fast != nil && !fast.Within:
		return OwnOdd
	}
	return OwnBeyond
}

// Difference returns how much longer the phase took on the off-speed rep, seconds.
func (p Phase) Difference() float64 { return p.Off - p.Fast }

// Whole returns both times and their difference in whole milliseconds as they are
// shown: the difference is that of the two shown numbers, so that whoever takes one
// from the other gets it. It is off by less than a millisecond.
func (p Phase) Whole() (off, fast, difference int) {
	off, fast = int(math.Round(1000*p.Off)), int(math.Round(1000*p.Fast))
	return off, fast, off - fast
}

// Measured reports whether the difference is more than twice the uncertainty of measuring it.
func (p Phase) Measured() bool { return math.Abs(p.Difference()) > 2*p.U }

// Clear reports whether the two reps differ clearly: by more than measuring may be off by,
// and by more than her own fastballs differ from one another.
func (p Phase) Clear() bool { return p.Measured() && p.Own == OwnBeyond }

// pairPhases are the phases that two reps are compared by.
var pairPhases = []struct{ from, to bullpen.Event }{
	{bullpen.Drive, bullpen.Plant}, {bullpen.Plant, bullpen.Release}, {bullpen.Top, bullpen.Release}, {bullpen.Drive, bullpen.Release},
}

// At returns the moment of an instant, nil if it is not known.
func (m Moments) At(e bullpen.Event) *Moment {
	switch e {
	case bullpen.Drive:
		return m.Drive
	case bullpen.Plant:
		return m.Plant
	case bullpen.Top:
		return m.Top
	case bullpen.Release:
		return m.Release
	}
	return nil
}

// Phases returns the phases that both reps have: legs, plant to release, arm, and
// the whole from drive to release.
func Phases(off, fast RepBody) []Phase {
	var out []Phase
	for _, p := range pairPhases {
		a := between(off.Moments.At(p.from), off.Moments.At(p.to))
		b := between(fast.Moments.At(p.from), fast.Moments.At(p.to))
		if !a.known() || !b.known() {
			continue
		}
		own := OwnNot
		switch {
		case p.from == bullpen.Drive && p.to == bullpen.Plant:
			own = ownOfPair(off.Legs, fast.Legs)
		case p.from == bullpen.Top:
			own = ownOfPair(off.Arm, fast.Arm)
		}
		out = append(out, Phase{From: p.from, To: p.to, Off: a.seconds, Fast: b.seconds, U: math.Hypot(a.u, b.u), Own: own})
	}
	return out
}

// Stretch returns how many times as fast the off-speed rep must be played for its
// delivery to last as long as the fastball's: by the longest phase up to release
// that both have. ok is false without one.
func Stretch(phases []Phase) (times float64, ok bool) {
	var longest Phase
	for _, p := range phases {
		if p.To == bullpen.Release && p.Fast > longest.Fast {
			longest = p
		}
	}
	if longest.Fast == 0 {
		return 1, false
	}
	return longest.Off / longest.Fast, true
}

// eventNames are the instants in words.
var eventNames = map[bullpen.Event]string{
	bullpen.Drive: "drive", bullpen.Plant: "plant", bullpen.Top: "top", bullpen.Release: "release",
}

// Said says the difference in words: "40 ms longer", or where it is not clear "+9 ms:
// within her usual spread".
func (p Phase) Said() string {
	_, _, ms := p.Whole()
	if p.Clear() {
		if ms < 0 {
			return fmt.Sprintf("%d ms shorter", -ms)
		}
		return fmt.Sprintf("%d ms longer", ms)
	}
	said := bullpen.Signed(float64(ms)) + " ms"
	switch {
	case !p.Measured():
		return said + ": too close to tell"
	case p.Own == OwnUsual:
		return said + ": within her usual spread"
	case p.Own == OwnUnknown:
		return said + ": too few reps to tell"
	case p.Own == OwnOdd:
		return said + ": the other rep is unlike her others"
	}
	return said
}

// String says the phase and its difference in words: "drive to plant 40 ms longer".
func (p Phase) String() string {
	name := eventNames[p.From] + " to " + eventNames[p.To]
	if !p.Measured() {
		_, _, ms := p.Whole()
		return fmt.Sprintf("%s alike (%s ms, too close to tell)", name, bullpen.Signed(float64(ms)))
	}
	if what, why, ok := strings.Cut(p.Said(), ": "); ok {
		return fmt.Sprintf("%s %s (%s)", name, what, why)
	}
	return name + " " + p.Said()
}

// PhaseWords says the differences of legs and arm in one line; "" without a phase.
func PhaseWords(phases []Phase) string {
	var words []string
	for _, p := range phases {
		switch {
		case p.From == bullpen.Drive && p.To == bullpen.Plant:
			words = append(words, "legs, "+p.String())
		case p.From == bullpen.Top:
			words = append(words, "arm, "+p.String())
		}
	}
	if len(words) == 0 && len(phases) > 0 {
		words = append(words, phases[0].String())
	}
	return capital(strings.Join(words, " · "))
}
