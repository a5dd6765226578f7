package tempo

import (
	"math"

	"tenoff/internal/evidence"
)

// byMistake is the chance at most that any rep of a bullpen in which nothing was slower
// is named, whatever its number of reps.
const byMistake = 0.05

// slower is the chance that one more fastball at the rep's place would have taken as long,
// less what the method may be off by (bias, a share of BiasOf) and less margin, log units:
// one-sided, by the predictive of her own fastballs. Motion that is unlike theirs widens
// it as it widens a contrast.
func (o own) slower(l lap, bias, margin float64) float64 {
	next := o.next(l.place, l.u).Blurred(square(o.unlike([]lap{l}) / 1.96))
	by := l.log - next.Value
	by -= biasFloor + bias*math.Abs(by) + margin
	return 1 - next.Minus(next.Value).Below(by)
}

func square(x float64) float64 { return x * x }

// named says of each rep, as all is ordered, whether this rep by itself is shown to be
// slower than her own fastballs: slowed body by its legs, slowed arm by its arm where the
// legs do not look slower too, "" otherwise. It speaks of every off-speed rep that can
// be compared with three fastballs of its drill, seen from where it was seen.
//
// That is many questions about one bullpen: legs and arms of all its reps are held
// together by Holm's correction, so that the chance of naming any rep where nothing was
// slower stays under byMistake.
func named(all []counted, owns map[from]owns, m Margins) []Verdict {
	type question struct {
		rep int
		arm bool
	}
	var asked []question
	var chances []float64
	for i, c := range all {
		if !c.Full || c.fast {
			continue
		}
		o := owns[c.from()]
		bias := BiasOf(c.View)
		if c.legs.known() && len(o.legs.laps) >= fewestOwn {
			asked = append(asked, question{i, false})
			chances = append(chances, o.legs.slower(c.lap(c.legs), bias.Legs, m.RepSlowed))
		}
		if c.arm.known() && len(o.arm.laps) >= fewestOwn {
			asked = append(asked, question{i, true})
			chances = append(chances, o.arm.slower(c.lap(c.arm), bias.Arm, m.RepSlowed))
		}
	}
	out := make([]Verdict, len(all))
	found := evidence.Holm(chances, byMistake)
	for k, q := range asked {
		if found[k] && !q.arm {
			out[q.rep] = SlowedBody
		}
	}
	for k, q := range asked {
		c := all[q.rep]
		if found[k] && q.arm && out[q.rep] == "" && c.legs.known() {
			l, legs := c.lap(c.legs), owns[c.from()].legs
			if len(legs.laps) >= fewestOwn && l.log-legs.at(l.place).Value < m.BodySlowed {
				out[q.rep] = SlowedArm
			}
		}
	}
	return out
}
