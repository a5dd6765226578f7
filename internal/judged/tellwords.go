package judged

import (
	"fmt"
	"math"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/tells"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// telling says what an aspect is when there is more or less of it: to an instructor, and to
// the pitcher as a whole sentence of the catalogue.
type telling struct {
	more, less   string
	moreK, lessK texts.Key
}

var tellings = map[posture.Aspect]telling{
	posture.TrunkLean:   {"her trunk leans further forward", "her trunk leans less far forward", "tell.trunk.more", "tell.trunk.less"},
	posture.GloveHeight: {"her glove is higher", "her glove is lower", "tell.glove.more", "tell.glove.less"},
	posture.GloveAhead:  {"her glove is further ahead", "her glove is further back", "tell.gloveAhead.more", "tell.gloveAhead.less"},
	posture.HandHeight:  {"her pitching hand is higher", "her pitching hand is lower", "tell.hand.more", "tell.hand.less"},
	posture.HandAhead:   {"her pitching hand is further ahead", "her pitching hand is further back", "tell.handAhead.more", "tell.handAhead.less"},
	posture.HipsWide:    {"her hips are turned further to the side", "her hips are turned less far to the side", "tell.hips.more", "tell.hips.less"},
	posture.ChestWide:   {"her shoulders are turned further to the side", "her shoulders are turned less far to the side", "tell.chest.more", "tell.chest.less"},
	posture.FrontKneeAt: {"her front knee is straighter", "her front knee is more bent", "tell.frontKnee.more", "tell.frontKnee.less"},
	posture.BackKneeAt:  {"her back knee is straighter", "her back knee is more bent", "tell.backKnee.more", "tell.backKnee.less"},
	posture.FeetApart:   {"her feet are further apart", "her feet are closer together", "", ""},
}

// fromElsewhere are those of what is not filmed from the side, as far as anybody said: there
// hips that look wide may as well be square to the plate, so how they look is all that is
// known.
var fromElsewhere = map[posture.Aspect]telling{
	posture.HipsWide:  {"her hips look wider", "her hips look narrower", "tell.hips.wide", "tell.hips.narrow"},
	posture.ChestWide: {"her shoulders look wider", "her shoulders look narrower", "tell.chest.wide", "tell.chest.narrow"},
}

// telling is what the tell's aspect is, seen from where it was filmed.
func (t Tell) telling() telling {
	if elsewhere, ok := fromElsewhere[t.Aspect]; ok && t.View != bullpen.ViewSide {
		return elsewhere
	}
	return tellings[t.Aspect]
}

// Sentence says a tell to an instructor: "First seen 0.42 s before release, before the
// drive: her glove is lower, by about 31 % of her trunk’s length where it is clearest."
func (t Tell) Sentence() string {
	is := t.telling().more
	by := t.Off - t.Fast
	if by < 0 {
		is, by = t.telling().less, -by
	}
	much := whole(by) + " degrees"
	if !t.Aspect.Angle() {
		much = whole(100*by) + " % of her trunk’s length"
	}
	return fmt.Sprintf("First seen %.2f s before release, %s: %s, by about %s where it is clearest.", t.Before, t.When, is, much)
}

// On says on how many deliveries a tell shows.
func (t Tell) On(of Tells) string {
	return texts.English.Say("tell.on", of.counts(texts.English, t))
}

func (m Tells) counts(l texts.Language, t Tell) texts.V {
	return texts.V{
		"on": t.OnOff, "all": t.SeenOff, "pitches": l.Pitches(string(m.Pitch)),
		"fastOn": t.OnFast, "fastAll": t.SeenFast, "fastballs": l.Pitches(string(m.Baseline)),
	}
}

// Sentence says to an instructor what was looked at and whether anything was found, or why
// it was not looked at.
func (m Tells) Sentence() string {
	pitches, fastballs := texts.English.Pitches(string(m.Pitch)), texts.English.Pitches(string(m.Baseline))
	switch {
	case m.TooFew == FilmedApart:
		return fmt.Sprintf("Can’t tell what gives her %s away: her %s are on other films, and where the phone stood may be what differs. Film both on one film, mixed.", pitches, fastballs)
	case m.TooFew != "":
		return fmt.Sprintf("Too few to say what gives her %s away: it takes %d of them and %d %s, filmed from the same place, with her joints seen; there are %d and %d.", pitches, tells.Least, tells.Least, fastballs, m.Off, m.Fast)
	case len(m.Tells) > 0:
		return fmt.Sprintf("On her %s (%d) against her %s (%d), as the camera sees it, this stands out before the ball is gone:", pitches, m.Off, fastballs, m.Fast)
	}
	return fmt.Sprintf("Nothing seen that gives her %s (%d) away beside her %s (%d)%s.", pitches, m.Off, fastballs, m.Fast, m.wouldSee("; more than %s degrees of lean would most likely have been seen"))
}

func (m Tells) wouldSee(format string) string {
	if math.IsNaN(m.Lean) {
		return ""
	}
	return fmt.Sprintf(format, whole(math.Ceil(m.Lean)))
}

// Caution says what else may look like a tell in this bullpen; "" for nothing.
func (m Tells) Caution() string {
	if !m.InTurn || len(m.Tells) == 0 {
		return ""
	}
	return fmt.Sprintf("All of one pitch came before all of the other: what changed while she threw looks the same. Mix %s and %s next time.", texts.English.Pitches(string(m.Baseline)), texts.English.Pitches(string(m.Pitch)))
}

// soonest is how long before release, in seconds, a tell has to be seen to be worth a word
// to her: by then a hitter who looks for it can use it.
const soonest = 0.1

// ToHer says it to the pitcher in her language: the first tell; "" where nothing can be
// said. What may as well be what changed while she threw is for her instructor alone, and
// so is how far apart her feet are: nobody is to read advice for a longer stride.
func (m Tells) ToHer(l texts.Language) string {
	switch {
	case m.TooFew != "" || m.Caution() != "":
		return ""
	case len(m.Tells) > 0:
		i := slices.IndexFunc(m.Tells, func(t Tell) bool { return t.Aspect != posture.FeetApart && t.Before >= soonest })
		if i < 0 {
			return ""
		}
		t := m.Tells[i]
		key := t.telling().moreK
		if t.Off < t.Fast {
			key = t.telling().lessK
		}
		return l.Say(key, texts.V{"seconds": fmt.Sprintf("%.1f", t.Before)}) + " " + l.Say("tell.on", m.counts(l, t))
	}
	pitches := l.Pitches(string(m.Pitch))
	if math.IsNaN(m.Lean) {
		return l.Say("tell.nothing", texts.V{"pitches": pitches})
	}
	return l.Say("tell.nothingBut", texts.V{"pitches": pitches, "degrees": whole(math.Ceil(m.Lean))})
}

// GivenAway says to her what gives the pitch of the bullpen's headline away, beside what she
// is told of how she moves. That nothing does is said only where nothing else of her body
// is said to differ: who reads that her legs slowed would take it for the contrary.
func (b Bullpen) GivenAway(l texts.Language, of []Tells, moves string) string {
	about, ok := b.foremost()
	if !ok || about.Drill != "" {
		return ""
	}
	i := slices.IndexFunc(of, func(m Tells) bool { return m.Pitch == about.Pitch })
	if i < 0 {
		return ""
	}
	c, _ := b.Body.Check(tempo.SubjectOf(about.Pitch, about.Drill))
	if len(of[i].Tells) == 0 && (moves != "" || c.Verdict == tempo.SlowedBody || c.Verdict == tempo.SlowedArm) {
		return ""
	}
	return of[i].ToHer(l)
}
