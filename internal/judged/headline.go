package judged

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// Headline says what a bullpen tells in one line, for a kid: the gap of the off-speed
// pitch that was read most, and her body on it. "7 of 8 about ten off. Legs slowed: reps 6
// and 9." It is "" while there is nothing to say.
func (b Bullpen) Headline(l texts.Language) string {
	s, ok := b.foremost()
	if !ok {
		return b.bodyAlone(l)
	}
	out := b.gapHeadline(l, s)
	if c, ok := b.Body.Check(tempo.SubjectOf(s.Pitch, s.Drill)); ok && len(b.Films) > 0 {
		body := bodyHeadline(l, c)
		if s.InBand*2 > s.Judged && (c.Verdict == tempo.SlowedBody || c.Verdict == tempo.SlowedArm) && c.Others == "" {
			body = l.Say("headline.but", texts.V{"said": uncapital(body)})
		}
		out += " " + body
	}
	return strings.TrimSpace(out)
}

// Foremost is the index in Sheet.Summaries of the off-speed pitch that a headline is about:
// full pitches before drills, change-ups before others, then that with most gaps. ok is
// false where no gap is known.
func (b Bullpen) Foremost() (index int, ok bool) {
	rank := func(s bullpen.Summary) [3]int {
		full, change := 0, 0
		if s.Drill == "" {
			full = 1
		}
		if s.Pitch == bullpen.ChangeUp {
			change = 1
		}
		return [3]int{full, change, s.Judged}
	}
	for i, s := range b.Sheet.Summaries {
		if s.Judged == 0 {
			continue
		}
		if a, b := rank(s), rank(b.Sheet.Summaries[index]); !ok || a[0] > b[0] || a[0] == b[0] && (a[1] > b[1] || a[1] == b[1] && a[2] > b[2]) {
			index, ok = i, true
		}
	}
	return index, ok
}

// foremost is that pitch itself.
func (b Bullpen) foremost() (bullpen.Summary, bool) {
	if i, ok := b.Foremost(); ok {
		return b.Sheet.Summaries[i], true
	}
	return bullpen.Summary{}, false
}

func (b Bullpen) gapHeadline(l texts.Language, s bullpen.Summary) string {
	out := b.gapAlone(l, s)
	if s.Pitch != bullpen.ChangeUp {
		out = l.Say("headline.ofPitch", texts.V{"pitch": texts.Capital(l.Pitch(string(s.Pitch))), "said": out})
	}
	return out
}

// mostAboutTen is how wide a band about ten is at most, mph, for what lies in it to be called
// "about ten off" (a working value): 7 and 13 still are, 5 and 15 are not.
const mostAboutTen = 6

// gapAlone says how a pitch's gaps came out without naming it.
func (b Bullpen) gapAlone(l texts.Language, s bullpen.Summary) string {
	key, values := texts.Key("headline.inBand"), texts.V{"hits": s.InBand, "all": s.Judged}
	if s.Pitch == bullpen.ChangeUp && s.Band != nil && s.Band.Unit == bullpen.InMPH && s.Band.Lo+s.Band.Hi == 2*10 && s.Band.Hi-s.Band.Lo <= mostAboutTen {
		key = "headline.tenOff"
	}
	if s.SoFar {
		return l.Say("headline.soFar", texts.V{"said": l.Say(key, values)})
	}
	for v, n := range b.verdicts(s) {
		if v != bullpen.InBand && 2*n > s.Judged {
			key, values["mostly"] = key+"Mostly", l.Say(mostly[v])
		}
	}
	return l.Say(key, values)
}

// mostly says which verdict most reps have.
var mostly = map[bullpen.Verdict]texts.Key{
	bullpen.TooFirm: "mostly.tooFirm", bullpen.Soft: "mostly.soft", bullpen.TooSoft: "mostly.tooSoft",
}

// verdicts counts those of the summary's reps.
func (b Bullpen) verdicts(s bullpen.Summary) map[bullpen.Verdict]int {
	out := map[bullpen.Verdict]int{}
	for i, r := range b.Reps {
		if b.isOf(r, s) && b.Sheet.Reps[i].Verdict != bullpen.Pending {
			out[b.Sheet.Reps[i].Verdict]++
		}
	}
	return out
}

// bodyAlone is the headline of a bullpen that nobody read with a gun.
func (b Bullpen) bodyAlone(l texts.Language) string {
	for _, c := range b.Body.Checks {
		if c.Verdict != tempo.CantTell {
			return bodyHeadline(l, c)
		}
	}
	return ""
}

func bodyHeadline(l texts.Language, c tempo.Check) string {
	some := ofSome(c)
	switch {
	case some && len(c.Slowed) > 0 && len(c.SlowedArms) > 0:
		return l.Say("headline.bothSlowedOn", texts.V{"legs": len(c.Slowed), "arm": len(c.SlowedArms)})
	case some && len(c.Slowed) > 0 && c.Others == tempo.SlowedArm:
		return l.Say("headline.armOnOthers", texts.V{"legs": len(c.Slowed)})
	case some && len(c.Slowed) > 0:
		return onReps(l, "headline.legsSlowedOn", c.Slowed)
	case some:
		return onReps(l, "headline.armSlowedOn", c.SlowedArms)
	case c.Verdict == tempo.SlowedBody:
		return l.Say("headline.legsSlowed")
	case c.Verdict == tempo.SlowedArm:
		return l.Say("headline.armSlowed")
	case c.Verdict == tempo.SameBody:
		return l.Say("headline.sameBody")
	case c.Reason == tempo.NoFastballs || c.Reason == tempo.NoOffSpeed:
		return "" // nothing was looked for yet
	}
	return l.Say("headline.cantTell")
}

// ofSome says whether the check speaks of some of the reps.
func ofSome(c tempo.Check) bool { return c.On != "" || c.Others != "" }

// mostNamed is how many reps a headline names.
const mostNamed = 3

// onReps says on which reps, or of more than a headline names, on how many.
func onReps(l texts.Language, key texts.Key, orders []int) string {
	reps := l.Say("reps", texts.V{"n": len(orders)})
	if len(orders) <= mostNamed {
		words := make([]string, len(orders))
		for i, o := range orders {
			words[i] = strconv.Itoa(o)
		}
		reps = l.Say("repsNamed", texts.V{"n": len(orders), "names": l.List(words)})
	}
	return l.Say(key, texts.V{"reps": reps})
}

// uncapital lowers it.
func uncapital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[n:]
}
