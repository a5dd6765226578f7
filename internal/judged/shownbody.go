package judged

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// ShownBody is what an answer keeps of a rep's body speed, nil where that is not known.
func ShownBody(p tempo.RepBody) *bullpen.ShownBody {
	if p.Legs == nil {
		return nil
	}
	out := &bullpen.ShownBody{Legs: p.Legs.Percent, Slowed: p.Verdict != ""}
	if p.Verdict == tempo.SlowedArm && p.Arm != nil {
		out.Arm = &p.Arm.Percent
	}
	return out
}

// BodySaid says it in a table's words, in English those of tempo.RepBody.Short; "" for nil.
func BodySaid(l texts.Language, b *bullpen.ShownBody) string {
	switch {
	case b == nil:
		return ""
	case b.Arm != nil:
		return l.Say("body.armSlowed", texts.V{"legs": bullpen.Percent(b.Legs), "arm": bullpen.Percent(*b.Arm)})
	case b.Slowed:
		return l.Say("body.legsSlowed", texts.V{"legs": bullpen.Percent(b.Legs)})
	}
	return l.Say("body.legs", texts.V{"legs": bullpen.Percent(b.Legs)})
}
