package tempo

import (
	"fmt"
	"math"
	"strings"

	"tenoff/internal/bullpen"
)

// The words say what was seen and how far it may be off. They name no cause and no
// harm. "Body" is legs and arm together; where only the legs are meant, they are said.

// say writes the rep's short line, or why there is none.
func (p *RepBody) say(c counted, fast string) {
	if p.Legs == nil {
		p.Pending = c.pending(fast)
		return
	}
	p.Words = fmt.Sprintf("legs at %s of her %s's speed", bullpen.Percent(p.Legs.Percent), fast)
	p.Short = "legs " + bullpen.Percent(p.Legs.Percent)
	switch p.Verdict {
	case SlowedBody:
		p.Words += ": slowed"
		p.Short += ": slowed"
	case SlowedArm:
		p.Words += fmt.Sprintf("; arm at %s: slowed", bullpen.Percent(p.Arm.Percent))
		p.Short += fmt.Sprintf(", arm %s: slowed", bullpen.Percent(p.Arm.Percent))
	}
}

// pending says why a rep's body speed is not known, and what to do.
func (c counted) pending(fast string) string {
	unsure := func(m *Moment, of func(Transferred) Found) bool {
		return m == nil && c.Found != nil && !of(*c.Found).Sure
	}
	drive := unsure(c.moments.Drive, func(t Transferred) Found { return t.Drive })
	plant := unsure(c.moments.Plant, func(t Transferred) Found { return t.Plant })
	switch {
	case drive && plant:
		return "Drive and front-foot plant could not be found surely on this rep; mark them by hand."
	case drive:
		return "The drive could not be found surely on this rep; mark it by hand."
	case plant:
		return "The front-foot plant could not be found surely on this rep; mark it by hand."
	case !c.legs.known():
		return "Mark drive and front-foot plant to see the speed of the body."
	case !c.Full:
		return "A warm-up rep is not compared."
	}
	return fmt.Sprintf("It takes three other %s with drive and plant, seen from the same side.", plural(fast))
}

// say writes the check's sentence, its notes and its split's sentence.
func (c *Check) say(baseline bullpen.Pitch, unit bullpen.Unit) {
	c.PitchName = nameOf(c.Pitch)
	name, fast := c.PitchName, nameOf(baseline)
	legsNext := fmt.Sprintf("Legs and hips as fast as on the %s; grip and hand take the speed off.", fast)
	armNext := fmt.Sprintf("The arm as fast as on the %s; grip and hand take the speed off.", fast)
	switch {
	case c.partial:
		c.Sentence = c.partly(name)
		if all := len(c.Slowed) + len(c.SlowedArms) + c.others; all > 1 {
			c.On = fmt.Sprintf("on %d of %d", c.named(), all)
		}
		if c.Next = legsNext; c.Verdict == SlowedArm {
			c.Next = armNext
		}
	case c.Verdict == SlowedBody:
		c.Sentence = fmt.Sprintf("Her legs slowed down on the %s: they went at %s.", name, c.Legs.words("their", fast))
		c.Sentence = join(c.Sentence, c.armLook.seen("arm", c.Arm, "its", fast, " too"))
		c.Next = legsNext
	case c.Verdict == SlowedArm:
		c.Sentence = fmt.Sprintf("Her legs kept up on the %s, but her arm slowed down: it went at %s.", name, c.Arm.words("its", fast))
		c.Sentence = join(c.Sentence, c.legsLook.seen("legs", c.Legs, "their", fast, ""))
		c.Next = armNext
	case c.Verdict == SameBody:
		who, what := "Her legs and her arm", "slow-down"
		if c.Arm == nil {
			who, what = "Her legs", "slow-down of the legs"
		}
		c.Sentence = fmt.Sprintf("%s kept up with her %s: no %s seen.", who, fast, what+c.largerThan())
	default:
		c.Sentence, c.Next = join(c.whyNot(name, fast), c.seen(fast)), c.settles(name, fast)
	}
	c.note()
	if c.Split != nil {
		c.Split.say(c.Verdict, name, unit)
	}
}

// largerThan limits what was not seen; "" where the whole range lies on the faster side.
func (c *Check) largerThan() string {
	if c.NoMoreThan == nil || *c.NoMoreThan <= 0 {
		return ""
	}
	return " larger than " + bullpen.Percent(*c.NoMoreThan)
}

// named is how many reps Verdict is about where it is about some.
func (c *Check) named() int {
	if c.Verdict == SlowedArm {
		return len(c.SlowedArms)
	}
	return len(c.Slowed)
}

// partly says which reps slowed down and what the others did: "Slowed body on 2 of 8
// change-ups (reps 6 and 9); the other 6 same body."
func (c *Check) partly(name string) string {
	var parts []string
	all := len(c.Slowed) + len(c.SlowedArms) + c.others
	for _, p := range []struct {
		verdict string
		reps    []int
	}{{"slowed body", c.Slowed}, {"slowed arm", c.SlowedArms}} {
		if len(p.reps) == 0 {
			continue
		}
		words := fmt.Sprintf("%s on %d (%s)", p.verdict, len(p.reps), bullpen.RepsSaid(p.reps))
		switch {
		case all == 1:
			words = fmt.Sprintf("%s on the one %s (%s)", p.verdict, name, bullpen.RepsSaid(p.reps))
		case len(p.reps) == all:
			words = fmt.Sprintf("%s on all %s", p.verdict, count(all, name))
		case len(parts) == 0:
			words = fmt.Sprintf("%s on %d of %s (%s)", p.verdict, len(p.reps), count(all, name), bullpen.RepsSaid(p.reps))
		}
		parts = append(parts, words)
	}
	sentence := capital(strings.Join(parts, ", "))
	others := fmt.Sprintf("the other %d", c.others)
	if c.others == 1 {
		others = "the other one"
	}
	switch c.Others {
	case SameBody:
		return fmt.Sprintf("%s; %s same body: no slow-down%s seen.", sentence, others, c.largerThan())
	case SlowedArm:
		return fmt.Sprintf("%s; on %s her arm slowed down.", sentence, others)
	case CantTell:
		return fmt.Sprintf("%s; of %s this film can't tell.", sentence, others)
	}
	return sentence + "."
}

// seen says how legs and arm look that nothing is claimed of.
func (c *Check) seen(fast string) string {
	legs := c.legsLook.seen("legs", c.Legs, "their", fast, "")
	if legs == "" && c.Legs != nil {
		legs = fmt.Sprintf("Her legs went at %s.", c.Legs.words("their", fast))
	}
	return join(legs, c.armLook.seen("arm", c.Arm, "its", fast, ""))
}

// whyNot says why a film does not decide it; it stands after the verdict.
func (c *Check) whyNot(name, fast string) string {
	switch c.Reason {
	case NoFastballs:
		return untimed(c.Fast, c.fastThrown, fast)
	case NoOffSpeed:
		return untimed(c.Off, c.offThrown, name)
	case OtherShape:
		return fmt.Sprintf("She moves differently on the %s than on the %s, so its times can't be read off it closely enough.", name, fast)
	case ViewTooPoor:
		if c.View == bullpen.ViewUnknown {
			return "Nobody said where the phone stood, so the film shows too little."
		}
		return "From where the phone stood the film shows too little."
	}
	return ""
}

// settles says what would settle it.
func (c *Check) settles(name, fast string) string {
	switch c.Reason {
	case NoFastballs:
		return toTime(c.fastThrown, fast)
	case NoOffSpeed:
		return toTime(c.offThrown, name)
	case TooFewReps:
		var more []string
		if c.MoreFast > 0 {
			more = append(more, plusMore(c.MoreFast, fast))
		}
		if c.MoreOff > 0 {
			more = append(more, plusMore(c.MoreOff, name))
		}
		what := strings.Join(more, " and ")
		if c.Fast+c.MoreFast <= c.fastThrown && c.Off+c.MoreOff <= c.offThrown {
			return fmt.Sprintf("Mark drive and front-foot plant on %s, which should settle it.", what)
		}
		return capital(fmt.Sprintf("%s like these should settle it.", what))
	case OtherShape:
		return "More reps won't settle it: look at the two side by side, and mark drive and front-foot plant by hand where they are off."
	case ViewTooPoor:
		if c.View == bullpen.ViewUnknown {
			return "Say in the film room where the phone stood: from the side, this film may do."
		}
		return "Film from the side and look again."
	}
	if min(c.Fast, c.Off) >= mostReps {
		return "More reps like these would hardly settle it; look at the two side by side."
	}
	return fmt.Sprintf("Even %d of each like these would hardly settle it; look at the two side by side.", mostReps)
}

// note writes what must be read with the verdict.
func (c *Check) note() {
	switch c.View {
	case bullpen.ViewSide, bullpen.ViewDiagonal:
	case bullpen.ViewBehind:
		c.Notes = append(c.Notes, "Filmed from behind, slow legs look less slow than they are: film from the side to see more.")
	default:
		c.Notes = append(c.Notes, "Say in the film room where the phone stood: until then the film counts as one from behind.")
	}
	if c.Legs != nil && c.Arm == nil {
		c.Notes = append(c.Notes, "The arm is not judged: hand marks can't time it on this film. Mark all four instants on one fastball, and they are found on the others.")
	}
	if c.LeftOut > 0 {
		c.Notes = append(c.Notes, fmt.Sprintf("%s filmed from elsewhere left out.", capital(count(c.LeftOut, c.PitchName))))
	}
}

func (s *Split) say(v Verdict, name string, unit bullpen.Unit) {
	s.Rest = "grip and hand"
	if v == SlowedArm {
		s.Rest = "arm, grip and hand"
	}
	// The gap is said as it is everywhere. Its parts are known to a whole number at best,
	// and add up to the gap's: nobody should wonder where a mile went. A part is no less
	// than nothing and no more than the whole gap.
	gap := math.Max(math.Round(s.Gap.In(unit)), 0)
	whole := func(v bullpen.Speed) float64 { return min(max(math.Round(v.In(unit)), 0), gap) }
	legs := whole(s.Body)
	hand := gap - legs
	s.GapSaid, s.LegsSaid, s.HandSaid = bullpen.Tenths(s.Gap.In(unit)), legs, hand
	part := func(name string, about float64, lo, hi bullpen.Speed) string {
		words := fmt.Sprintf("%s about %.0f %s", name, about, unit)
		// Rounded each by itself, a part might lie beside its range.
		if a, b := min(whole(lo), about), max(whole(hi), about); a < b {
			words += fmt.Sprintf(" (%.0f to %.0f)", a, b)
		}
		return words
	}
	shown := bullpen.Tenths(s.Gap.In(unit))
	s.GapWords = fmt.Sprintf("%s %s", shown, unit)
	s.LegsWords = part("legs", legs, s.BodyLo, s.BodyHi)
	s.RestWords = part(s.Rest, hand, s.HandLo, s.HandHi)
	s.Line = fmt.Sprintf("all %s: mean gap %s, legs about %.0f, %s about %.0f", plural(name), shown, legs, s.Rest, hand)
	s.Rule = fmt.Sprintf("Worked out, not measured, by a rule of proportion: if the legs are a tenth slower, so is the ball. What is left came from %s.", s.Rest)
	s.Sentence = fmt.Sprintf("Of the gap of %s her legs made about %.0f and %s about %.0f. %s", s.GapWords, legs, s.Rest, hand, s.Rule)
}

// words is a speed in per cent with its range.
func (s *Slowing) words(whose, fast string) string {
	return fmt.Sprintf("%s of %s %s speed (%.0f to %s)", bullpen.Percent(s.Speed), whose, fast, math.Round(s.SpeedLo), bullpen.Percent(s.SpeedHi))
}

func nameOf(p bullpen.Pitch) string {
	if t, ok := bullpen.TypeOf(p); ok {
		return t.Name
	}
	return "pitch"
}

// count says "1 fastball", "3 change-ups".
func count(n int, name string) string {
	if n == 1 {
		return "1 " + name
	}
	return fmt.Sprintf("%d %s", n, plural(name))
}

// enough is how many of each are asked for where there is next to nothing.
const enough = 3

// untimed says which reps have too few of them timed.
func untimed(timed, thrown int, name string) string {
	switch {
	case thrown == 0:
		return fmt.Sprintf("There is no film of her %s to compare.", plural(name))
	case thrown < enough:
		return fmt.Sprintf("There is film of %s, which is too few to compare.", count(thrown, name))
	case timed == 0:
		return fmt.Sprintf("The legs are not timed on any %s yet.", name)
	}
	return fmt.Sprintf("The legs are timed on %s, which is too few to compare.", count(timed, name))
}

// toTime says how they become enough.
func toTime(thrown int, name string) string {
	if thrown < enough {
		return fmt.Sprintf("Film at least %d %s.", enough, plural(name))
	}
	return fmt.Sprintf("Mark drive and front-foot plant on at least %d %s.", enough, plural(name))
}

// join puts sentences one behind the other.
func join(a, b string) string {
	return strings.TrimSpace(a + " " + b)
}

func plusMore(n int, name string) string {
	if n == 1 {
		return "1 more " + name
	}
	return fmt.Sprintf("%d more %s", n, plural(name))
}

// plural is what several of the pitch with that name are called.
func plural(name string) string {
	if t, ok := bullpen.PitchNamed(name); ok {
		return t.Plural
	}
	return "pitches"
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
