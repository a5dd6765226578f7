package judged

import (
	"fmt"
	"strconv"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// Headline says what a bullpen tells in one line, for a kid: the gap of the off-speed
// pitch that was read most, and her body on it. "7 of 8 about ten off. Legs slowed: reps 6
// and 9." It is "" while there is nothing to say.
func (b Bullpen) Headline() string {
	s, ok := b.foremost()
	if !ok {
		return b.bodyAlone()
	}
	out := b.gapHeadline(s)
	if c, ok := b.Body.Check(tempo.SubjectOf(s.Pitch, s.Drill)); ok && len(b.Films) > 0 {
		body := bodyHeadline(c)
		if s.InBand*2 > s.Judged && (c.Verdict == tempo.SlowedBody || c.Verdict == tempo.SlowedArm) && c.Others == "" {
			body = "But " + strings.ToLower(body[:1]) + body[1:]
		}
		out += " " + body
	}
	return strings.TrimSpace(out)
}

// foremost is the off-speed pitch that a headline is about: full pitches before drills,
// change-ups before others, then that with most gaps.
func (b Bullpen) foremost() (best bullpen.Summary, ok bool) {
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
	for _, s := range b.Sheet.Summaries {
		if s.Judged == 0 {
			continue
		}
		if a, b := rank(s), rank(best); !ok || a[0] > b[0] || a[0] == b[0] && (a[1] > b[1] || a[1] == b[1] && a[2] > b[2]) {
			best, ok = s, true
		}
	}
	return best, ok
}

func (b Bullpen) gapHeadline(s bullpen.Summary) string {
	hit := "in the band"
	if s.Pitch == bullpen.ChangeUp && s.Band != nil && *s.Band == (bullpen.Band{Unit: bullpen.InMPH, Lo: 8, Hi: 12, Limit: s.Band.Limit}) {
		hit = "about ten off"
	}
	name := ""
	if s.Pitch != bullpen.ChangeUp {
		name = strings.ToUpper(s.PitchName[:1]) + s.PitchName[1:] + ": "
	}
	out := fmt.Sprintf("%s%d of %d %s", name, s.InBand, s.Judged, hit)
	for v, n := range b.verdicts(s) {
		if v != bullpen.InBand && 2*n > s.Judged {
			out += ", mostly " + string(v)
		}
	}
	return out + "."
}

// verdicts counts those of the summary's reps.
func (b Bullpen) verdicts(s bullpen.Summary) map[bullpen.Verdict]int {
	out := map[bullpen.Verdict]int{}
	for i, r := range b.Reps {
		if r.Pitch == s.Pitch && bullpen.DrillKey(r.Drill) == bullpen.DrillKey(s.Drill) && b.gun(r) == s.Gun && b.Sheet.Reps[i].Verdict != bullpen.Pending {
			out[b.Sheet.Reps[i].Verdict]++
		}
	}
	return out
}

// bodyAlone is the headline of a bullpen that nobody read with a gun.
func (b Bullpen) bodyAlone() string {
	for _, c := range b.Body.Checks {
		if c.Verdict != tempo.CantTell {
			return bodyHeadline(c)
		}
	}
	return ""
}

func bodyHeadline(c tempo.Check) string {
	switch {
	case c.Others != "" && len(c.Slowed) > 0:
		return fmt.Sprintf("Legs slowed: %s.", reps(c.Slowed))
	case c.Others != "":
		return fmt.Sprintf("Arm slowed: %s.", reps(c.SlowedArms))
	case c.Verdict == tempo.SlowedBody:
		return "Her legs slowed."
	case c.Verdict == tempo.SlowedArm:
		return "Her arm slowed."
	case c.Verdict == tempo.SameBody:
		return "Same body."
	case c.Reason == tempo.NoFastballs || c.Reason == tempo.NoOffSpeed:
		return "" // nothing was looked for yet
	}
	return "Body: can't tell yet."
}

// reps names at most three of them.
func reps(orders []int) string {
	var words []string
	for _, o := range orders {
		words = append(words, strconv.Itoa(o))
	}
	switch n := len(words); {
	case n == 1:
		return "rep " + words[0]
	case n > 3:
		return fmt.Sprintf("%d reps", n)
	default:
		return "reps " + strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}
