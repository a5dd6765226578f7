package judged

import (
	"tenoff/internal/posture"
	"tenoff/internal/texts"
)

// movesTold says one difference to a pitcher and her parents: less of it, and more. How far
// her feet are apart is not among them: nobody is to read advice for a longer stride.
var movesTold = map[posture.Kind][2]texts.Key{
	posture.LeanPlant:   {"moves.leanPlant.less", "moves.leanPlant.more"},
	posture.LeanRelease: {"moves.leanRelease.less", "moves.leanRelease.more"},
	posture.HipsOpen:    {"moves.hipsOpen.later", "moves.hipsOpen.earlier"},
	posture.HipSpeed:    {"moves.hipSpeed.slower", "moves.hipSpeed.faster"},
	posture.ArmSlot:     {"moves.armSlot.back", "moves.armSlot.ahead"},
	posture.FrontKnee:   {"moves.frontKnee.bent", "moves.frontKnee.straight"},
}

// Told says in one sentence of a language how she moves on the pitch against her fastballs:
// the surest difference with its range of 95 %; "" for none. That a handful of measures show
// none is no news to her, and beside what her legs' times say it would be read as their
// contrary.
func (m Moves) Told(l texts.Language) string {
	v := texts.V{"pitches": l.Say(texts.Key("pitches." + string(m.Pitch))), "fastballs": l.Say(texts.Key("pitches." + string(m.Baseline)))}
	for _, d := range m.Clear() {
		keys, ok := movesTold[d.Kind]
		if !ok {
			continue
		}
		lo, hi, more := shownRange(d)
		v["lo"], v["hi"] = whole(lo), whole(hi)
		if more {
			return l.Say(keys[1], v)
		}
		return l.Say(keys[0], v)
	}
	return ""
}

// MovesTold says it of the pitch that a bullpen's headline is about.
func (b Bullpen) MovesTold(tracks Tracks, languages ...texts.Language) ([]string, error) {
	out := make([]string, len(languages))
	about, ok := b.foremost()
	if !ok || about.Drill != "" || len(b.Films) == 0 {
		return out, nil
	}
	moves, err := b.Moves(tracks)
	for _, m := range moves {
		if m.Pitch == about.Pitch {
			for i, l := range languages {
				out[i] = m.Told(l)
			}
		}
	}
	return out, err
}
