package tempo

import (
	"math"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/evidence"
)

// byMistake is the chance at most that any rep of a bullpen in which nothing was slower
// is named, whatever its number of reps.
const byMistake = 0.05

// mayBe is in how many bullpens in which nothing was slower a rep is looked at as one that may
// be, whether or not it can be named: it tells nothing of how widely the others of its kind
// scatter. A slow one that is just not named would otherwise hide those that are. By the
// bullpen, and not by the rep: of many reps the slowest few are what tells of a wide scatter.
const mayBe = 0.2

// likeFast is how many reps it is worth that other pitches repeat as her fastballs do: with
// fewer, eight that do by luck scatter too widely for one at 86 % to stand out.
const likeFast = 8

// chanceOfSlower is the chance that one more rep like her fastballs at the rep's place would have
// taken as long, less what the method may be off by (bias, a share of BiasOf) and less
// margin, log units: one-sided, by the predictive of her own fastballs, whose variance is
// larger by wider, >= 0. Motion that is unlike theirs widens it as it widens a contrast.
func (o herFastballs) chanceOfSlower(l lapTime, bias, margin, wider float64) float64 {
	next := o.next(l.place, l.u).Widened(wider).Blurred(square(o.unlike([]lapTime{l}) / 1.96))
	by := l.log - next.Value
	by -= biasFloor + bias*math.Abs(by) + margin
	return 1 - next.Minus(next.Value).Below(by)
}

// wider is by how much the variance of other reps, measuring left out, is larger than that
// of her fastballs, 0 where it is not: a change-up repeats less well than a fastball does,
// and one that is no slower than the others of its kind has not slowed down. Theirs is
// taken to be that of her fastballs, for as much as likeFast of them (a scaled inverse
// chi-squared prior, as that of evidence.LineOf).
func (o herFastballs) wider(laps []lapTime) float64 {
	if len(laps) < 2 {
		return 0
	}
	d := make([]float64, len(laps))
	var known float64
	for i, l := range laps {
		d[i] = l.log - o.at(l.place).Value
		known += l.u * l.u / float64(len(laps))
	}
	fast, m := square(o.line.Spread(0)), float64(len(d))
	v := (likeFast*(fast+known) + (m-1)*square(bullpen.SampleOf(d).SD)) / (likeFast + m - 1)
	return max(0, v-known-fast)
}

func square(x float64) float64 { return x * x }

// question is whether the rep with the index is slower by its legs, or by its arm.
type question struct {
	rep int
	arm bool
}

// named says of each rep, as all is ordered, whether this rep by itself is shown to be
// slower than her own fastballs: slowed body by its legs, slowed arm by its arm where the
// legs do not look slower too, "" otherwise. It speaks of every off-speed rep that can
// be compared with three fastballs of its drill, seen from where it was seen.
//
// That is many questions about one bullpen: legs and arms of all its reps are held
// together by Holm's correction, so that the chance of naming any rep where nothing was
// slower stays under byMistake. They are asked twice: first of her fastballs' spread, and
// then of the spread of the pitch's other reps, where that is wider. So a pitch that scatters
// has no reps named that are like the others, and slow ones don't hide each other.
func named(all []counted, owns map[from]owns, m Margins) []Verdict {
	var asked []question
	for i, c := range all {
		if !c.Full || c.fast {
			continue
		}
		o := owns[c.from()]
		if c.legs.known() && len(o.legs.laps) >= fewestOwn {
			asked = append(asked, question{i, false})
		}
		if c.arm.known() && len(o.arm.laps) >= fewestOwn {
			asked = append(asked, question{i, true})
		}
	}
	chances := chancesOf(all, owns, m, asked, nil)
	found := evidence.Holm(chances, byMistake)
	if slices.Contains(found, true) {
		open := make([]bool, len(asked))
		for k, p := range chances {
			open[k] = found[k] || p*float64(len(chances)) < mayBe
		}
		found = evidence.Holm(chancesOf(all, owns, m, asked, scatter(all, owns, asked, open)), byMistake)
	}
	out := make([]Verdict, len(all))
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

// kind is a pitch's legs or arm from one side: what scatters together.
type kind struct {
	from
	pitch bullpen.Pitch
	arm   bool
}

func (q question) kind(c counted) kind { return kind{c.from(), c.Pitch, q.arm} }

// of returns the rep's time that is asked about, and her fastballs'.
func (q question) of(c counted, o owns) (lapTime, herFastballs) {
	if q.arm {
		return c.lap(c.arm), o.arm
	}
	return c.lap(c.legs), o.legs
}

// scatter is by how much the variance of each kind is wider than her fastballs', by the reps
// of which it is not open whether they are slower.
func scatter(all []counted, owns map[from]owns, asked []question, open []bool) map[kind]float64 {
	laps := map[kind][]lapTime{}
	for k, q := range asked {
		if !open[k] {
			c := all[q.rep]
			l, _ := q.of(c, owns[c.from()])
			laps[q.kind(c)] = append(laps[q.kind(c)], l)
		}
	}
	out := map[kind]float64{}
	for s, l := range laps {
		o := owns[s.from].legs
		if s.arm {
			o = owns[s.from].arm
		}
		out[s] = o.wider(l)
	}
	return out
}

// chancesOf answers each question with the chance that a rep that is not slower had come out
// as slow.
func chancesOf(all []counted, owns map[from]owns, m Margins, asked []question, wider map[kind]float64) []float64 {
	chances := make([]float64, len(asked))
	for k, q := range asked {
		c := all[q.rep]
		bias := BiasOf(c.View).Legs
		if q.arm {
			bias = BiasOf(c.View).Arm
		}
		l, o := q.of(c, owns[c.from()])
		chances[k] = o.chanceOfSlower(l, bias, m.RepSlowed, wider[q.kind(c)])
	}
	return chances
}
