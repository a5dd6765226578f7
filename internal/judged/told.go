package judged

import (
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// Told is what a pitcher and her parents are told of a bullpen in a line or two.
type Told struct {
	Headline string
	Next     string // what to do next, at most two sentences; "" while there is nothing to say
	// Of is the pitch that both are about; nil while no off-speed pitch was read.
	Of *bullpen.Summary
	// Others says of each other off-speed pitch how its gaps came out.
	Others []string
}

// Told says it in a language, in words that need no knowledge of the trade.
func (b Bullpen) Told(l texts.Language) Told {
	l = l.Plain()
	out := Told{Headline: b.Headline(l)}
	if s, ok := b.foremost(); ok {
		out.Of, out.Next = &s, b.next(l, s)
		for _, other := range b.Sheet.Summaries {
			if other.Judged > 0 && (other.Pitch != s.Pitch || other.Drill != s.Drill || other.Gun != s.Gun) {
				out.Others = append(out.Others, b.gapOf(l, other))
			}
		}
	}
	return out
}

// BackOn is how much speed can come back on with the pitch of a summary of the bullpen's. It is
// nil as well where her legs or arm slowed on it: the body comes first, and with it speed
// comes back by itself.
func (b Bullpen) BackOn(s bullpen.Summary) *bullpen.Range {
	c, _ := b.Body.Check(tempo.SubjectOf(s.Pitch, s.Drill))
	if c.Verdict == tempo.SlowedBody || c.Verdict == tempo.SlowedArm {
		return nil
	}
	return s.ComeBackOn
}

// next says what to do next with a pitch: the body first where it slowed down, else the
// gap; then what to aim at.
func (b Bullpen) next(l texts.Language, s bullpen.Summary) string {
	var out []string
	fast := l.Pitch(string(b.Pitcher.BaselinePitch))
	c, _ := b.Body.Check(tempo.SubjectOf(s.Pitch, s.Drill))
	switch {
	case c.Verdict == tempo.SlowedBody:
		out = append(out, l.Say("next.legs", texts.V{"fastball": fast}))
	case c.Verdict == tempo.SlowedArm:
		out = append(out, l.Say("next.arm", texts.V{"fastball": fast}))
	case s.EdgeOf == bullpen.InBand: // it may be right as it is; what to aim at says enough
	case s.ComeBackOn != nil:
		out = append(out, l.Say("next.backOn", texts.V{"speed": Aimed(l, *s.ComeBackOn, b.unit())}))
	case s.Verdict == bullpen.TooFirm && !s.SoFar:
		out = append(out, l.Say("next.tooFirm", texts.V{"fastball": fast}))
	}
	if s.Aim != nil {
		out = append(out, l.Say("next.aim", texts.V{"speed": Aimed(l, *s.Aim, b.unit())}))
	}
	return strings.Join(out, " ")
}

// BodyTold says what the film decides of her body on the pitch of a summary of the
// bullpen's, in the headline's words; "" where it decides nothing.
func (b Bullpen) BodyTold(l texts.Language, s bullpen.Summary) string {
	if c, ok := b.decided(s); ok {
		return bodyHeadline(l.Plain(), c)
	}
	return ""
}

// BodyDecided is what BodyTold says; nil where it says nothing.
func (b Bullpen) BodyDecided(s bullpen.Summary) *bullpen.ShownDecided {
	c, ok := b.decided(s)
	switch {
	case !ok:
		return nil
	case !ofSome(c):
		return &bullpen.ShownDecided{Verdict: string(c.Verdict)}
	case len(c.SlowedArms) == 0 && c.Others == tempo.SlowedArm:
		return &bullpen.ShownDecided{Verdict: string(c.Others), Legs: c.Slowed}
	}
	return &bullpen.ShownDecided{Legs: c.Slowed, Arm: c.SlowedArms}
}

// decided is the check of the pitch of a summary, false where it decides nothing.
func (b Bullpen) decided(s bullpen.Summary) (tempo.Check, bool) {
	c, ok := b.Body.Check(tempo.SubjectOf(s.Pitch, s.Drill))
	return c, ok && c.Verdict != tempo.CantTell
}

// unit is what her speeds are said in.
func (b Bullpen) unit() bullpen.Unit {
	if b.Pitcher.Unit == bullpen.KMH {
		return bullpen.KMH
	}
	return bullpen.MPH
}

// Aimed says a range of speeds by the number in its middle, then the range: "44 mph (42 to
// 46)", as bullpen.Range.MiddleFirst does.
func Aimed(l texts.Language, r bullpen.Range, unit bullpen.Unit) string {
	first, last := r.Ends(unit)
	middle := r.Middle(unit)
	switch {
	case first == last:
		return first + " " + string(unit)
	case middle == "":
		return l.Say("range", texts.V{"lo": first, "hi": last, "unit": unit})
	}
	return l.Say("range.middle", texts.V{"middle": middle, "lo": first, "hi": last, "unit": unit})
}

// gapOf is the headline of one pitch that names it, and its drill.
func (b Bullpen) gapOf(l texts.Language, s bullpen.Summary) string {
	name := texts.Capital(l.Pitch(string(s.Pitch)))
	if s.Drill != "" {
		name = l.Say("aim.inDrill", texts.V{"pitch": name, "drill": l.Given(s.Drill)})
	}
	return l.Say("headline.ofPitch", texts.V{"pitch": name, "said": b.gapAlone(l, s)})
}
