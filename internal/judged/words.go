package judged

import (
	"fmt"
	"math"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// What tempo says of the body, for captions: in the language of those who look at them.
// In English they are tempo's own words; a test holds them together.

// PaceWords says how fast the body was on a rep; "" where that is not known.
func PaceWords(l texts.Language, p tempo.RepBody, baseline bullpen.Pitch) string {
	if p.Legs == nil {
		return ""
	}
	v := texts.V{"legs": bullpen.Percent(p.Legs.Percent), "fastball": l.Pitch(string(baseline))}
	switch p.Verdict {
	case tempo.SlowedBody:
		return l.Say("caption.legsSlowed", v)
	case tempo.SlowedArm:
		v["arm"] = bullpen.Percent(p.Arm.Percent)
		return l.Say("caption.armSlowed", v)
	}
	return l.Say("caption.legs", v)
}

// SplitWords says in one line where a pitch's mean gap came from.
func SplitWords(l texts.Language, c tempo.Check) string {
	s := c.Split
	if s == nil {
		return ""
	}
	rest := texts.Key("rest.hand")
	if c.Verdict == tempo.SlowedArm {
		rest = "rest.arm"
	}
	return l.Say("caption.split", texts.V{
		"pitches": l.Pitches(string(c.Pitch)), "gap": s.GapSaid,
		"legs": fmt.Sprintf("%.0f", s.LegsSaid), "rest": l.Say(rest), "hand": fmt.Sprintf("%.0f", s.HandSaid),
	})
}

// instants are the names of the four.
var instants = map[bullpen.Event]texts.Key{
	bullpen.Drive: "instant.drive", bullpen.Plant: "instant.plant", bullpen.Top: "instant.top", bullpen.Release: "instant.release",
}

// InstantName is what one of the four instants is called.
func InstantName(l texts.Language, e bullpen.Event) string { return l.Say(instants[e]) }

// PhaseWords says the differences of legs and arm of two reps in one line, as
// tempo.PhaseWords does.
func PhaseWords(l texts.Language, phases []tempo.Phase) string {
	var words []string
	for _, p := range phases {
		switch {
		case p.From == bullpen.Drive && p.To == bullpen.Plant:
			words = append(words, l.Say("phase.legs", texts.V{"said": phaseSaid(l, p)}))
		case p.From == bullpen.Top:
			words = append(words, l.Say("phase.arm", texts.V{"said": phaseSaid(l, p)}))
		}
	}
	if len(words) == 0 && len(phases) > 0 {
		words = append(words, phaseSaid(l, phases[0]))
	}
	return texts.Capital(strings.Join(words, " · "))
}

// how says a phase's difference, by how sure it is and where it lies.
var how = map[tempo.Own]texts.Key{
	tempo.OwnUsual: "phase.usual", tempo.OwnUnknown: "phase.few", tempo.OwnOdd: "phase.odd",
}

func phaseSaid(l texts.Language, p tempo.Phase) string {
	_, _, ms := p.Whole()
	v := texts.V{
		"phase": l.Say("phase.fromTo", texts.V{"from": InstantName(l, p.From), "to": InstantName(l, p.To)}),
		"ms":    bullpen.Signed(float64(ms)),
	}
	switch key, ok := how[p.Own]; {
	case p.Clear():
		v["ms"] = math.Abs(float64(ms))
		if ms < 0 {
			return l.Say("phase.shorter", v)
		}
		return l.Say("phase.longer", v)
	case !p.Measured():
		return l.Say("phase.alike", v)
	case ok:
		return l.Say(key, v)
	}
	return l.Say("phase.plain", v)
}
