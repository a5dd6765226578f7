package judged

import (
	"tenoff/internal/posture"
	"tenoff/internal/texts"
)

// movesTold says one difference to a pitcher and her parents: less of it, and more; and the
// same to herself. How far her feet are apart is not among them: nobody is to read advice
// for a longer stride.
var movesTold = map[posture.Kind][4]texts.Key{
	posture.LeanPlant:   {"moves.leanPlant.less", "moves.leanPlant.more", "moves.leanPlant.less.you", "moves.leanPlant.more.you"},
	posture.LeanRelease: {"moves.leanRelease.less", "moves.leanRelease.more", "moves.leanRelease.less.you", "moves.leanRelease.more.you"},
	posture.HipsOpen:    {"moves.hipsOpen.later", "moves.hipsOpen.earlier", "moves.hipsOpen.later.you", "moves.hipsOpen.earlier.you"},
	posture.HipSpeed:    {"moves.hipSpeed.slower", "moves.hipSpeed.faster", "moves.hipSpeed.slower.you", "moves.hipSpeed.faster.you"},
	posture.ArmSlot:     {"moves.armSlot.back", "moves.armSlot.ahead", "moves.armSlot.back.you", "moves.armSlot.ahead.you"},
	posture.FrontKnee:   {"moves.frontKnee.bent", "moves.frontKnee.straight", "moves.frontKnee.bent.you", "moves.frontKnee.straight.you"},
}

// Told says in one sentence of a language how she moves on the pitch against her fastballs:
// the surest difference with its range of 95 %; "" for none. That a handful of measures show
// none is no news to her, and beside what her legs' times say it would be read as their
// contrary.
func (m Moves) Told(l texts.Language) string { return m.told(l, 0) }

// ToHer says the same to the pitcher herself.
func (m Moves) ToHer(l texts.Language) string { return m.told(l, 2) }

func (m Moves) told(l texts.Language, from int) string {
	v := texts.V{"pitches": l.Pitches(string(m.Pitch)), "fastballs": l.Pitches(string(m.Baseline))}
	for _, d := range m.Clear() {
		keys, ok := movesTold[d.Kind]
		if !ok {
			continue
		}
		lo, hi, more := shownRange(d)
		v["lo"], v["hi"] = whole(lo), whole(hi)
		if more {
			return l.Say(keys[from+1], v)
		}
		return l.Say(keys[from], v)
	}
	return ""
}

// MovesTold says it of the pitch that a bullpen's headline is about.
func (b Bullpen) MovesTold(tracks Tracks, languages ...texts.Language) ([]string, error) {
	return b.movesSaid(tracks, Moves.Told, languages)
}

// MovesToHer says it likewise, to the pitcher herself.
func (b Bullpen) MovesToHer(tracks Tracks, languages ...texts.Language) ([]string, error) {
	return b.movesSaid(tracks, Moves.ToHer, languages)
}

func (b Bullpen) movesSaid(tracks Tracks, say func(Moves, texts.Language) string, languages []texts.Language) ([]string, error) {
	out := make([]string, len(languages))
	about, ok := b.foremost()
	if !ok || about.Drill != "" || len(b.Films) == 0 {
		return out, nil
	}
	moves, err := b.Moves(tracks)
	for _, m := range moves {
		if m.Pitch == about.Pitch {
			for i, l := range languages {
				out[i] = say(m, l)
			}
		}
	}
	return out, err
}
