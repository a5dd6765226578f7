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
	U         float64 // standard uncertainty of the difference, seconds
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

// Clear reports whether the difference is more than twice its uncertainty.
func (p Phase) Clear() bool { return math.Abs(p.Difference()) > 2*p.U }

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
func Phases(off, fast Moments) []Phase {
	var out []Phase
	for _, p := range pairPhases {
		a, b := between(off.At(p.from), off.At(p.to)), between(fast.At(p.from), fast.At(p.to))
		if a.known() && b.known() {
			out = append(out, Phase{From: p.from, To: p.to, Off: a.seconds, Fast: b.seconds, U: math.Hypot(a.u, b.u)})
		}
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

// String says the phase and its difference in words: "drive to plant 40 ms longer".
func (p Phase) String() string {
	name := eventNames[p.From] + " to " + eventNames[p.To]
	_, _, ms := p.Whole()
	switch {
	case !p.Clear():
		return fmt.Sprintf("%s alike (%s ms, too close to tell)", name, bullpen.Signed(float64(ms)))
	case ms < 0:
		return fmt.Sprintf("%s %d ms shorter", name, -ms)
	}
	return fmt.Sprintf("%s %d ms longer", name, ms)
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
