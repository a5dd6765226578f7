package bullpen

import (
	"cmp"

	"tenoff/internal/evidence"
)

// Judge computes every number of a bullpen: baseline, gap, verdict and doubt of
// each rep, and a summary of each pitch, drill and gun place. reps may come in any
// order (Rep.Order counts); films are only asked for their clocks.
//
// A warm-up rep is neither judged nor part of any other number. Readings are
// compared within one drill and one place of the gun only.
func Judge(pitcher Pitcher, pen Bullpen, films []Film, reps []Rep) Sheet {
	j := newJudge(pitcher, pen, reps)
	clocks := make(map[string]Clock, len(films))
	for _, f := range films {
		clocks[f.ID] = f.Clock
	}
	sheet := Sheet{Reps: make([]RepNumbers, len(reps)), Summaries: []Summary{}}
	for _, t := range j.thrown {
		n := j.numbers(t)
		n.Legs = between(clocks[t.rep.FilmID], t.rep.Drive, t.rep.Plant)
		n.Arm = between(clocks[t.rep.FilmID], t.rep.Top, t.rep.Release)
		sheet.Reps[t.index] = n
	}
	for _, set := range j.sets {
		sheet.Summaries = append(sheet.Summaries, j.summary(set, sheet.Reps))
	}
	return sheet
}

// judge holds what the numbers of one bullpen have in common.
type judge struct {
	pitcher Pitcher
	way     Way  // zero if it is not known
	unit    Unit // what is said is said in
	thrown  []*throw
	sets    []*set // in order of their first rep
	line    evidence.Line
	bases   bases
}

func newJudge(pitcher Pitcher, pen Bullpen, reps []Rep) *judge {
	j := &judge{pitcher: pitcher, unit: cmp.Or(pitcher.Unit, pen.Unit, MPH), thrown: throws(pen, reps)}
	if way, ok := pitcher.Way(); ok {
		j.way = way
	}
	j.bases = bases{
		pitch:  cmp.Or(pitcher.BaselinePitch, Fastball),
		policy: cmp.Or(pitcher.Policy, MeanOf),
		typed:  pitcher.typed(),
		last:   len(j.thrown),
	}
	j.bases.itself = isBaseline(j.bases.pitch)
	ask(pen, j.thrown)
	j.sets, j.bases.sets = setsOf(j.thrown)
	j.line = lineOf(pen, j.sets)
	j.bases.line = j.line
	return j
}

// numbers judges one throw.
func (j *judge) numbers(t *throw) RepNumbers {
	n := RepNumbers{RepID: t.rep.ID}
	n.Doubt, n.Meant, n.MeantPitch = t.asked.Sentence, t.asked.Meant, t.asked.Pitch
	if !t.read {
		n.Pending = noReading(t)
		return n
	}
	n.Speed = &t.speed
	if t.rep.WarmUp {
		n.Pending = "A warm-up rep is not judged."
		return n
	}
	if !t.settled() {
		n.Pending = unsettled
		return n
	}
	b := j.bases.before(t.place, t.in)
	if b == nil {
		n.Pending = j.bases.noBaseline(t.in, t.rep.Drill)
		if t.pitch == j.bases.pitch {
			n.Pending = j.bases.itself
		}
		return n
	}
	n.Baseline = b
	if t.pitch == j.bases.pitch {
		n.Pending = j.bases.itself
		return n
	}
	gap := GapUnder(b.Speed, t.speed, j.way)
	known := b.level.Minus(float64(t.speed)).Blurred(t.rounding + gain(gap.MPH, b.Speed, j.pitcher.tolerance()))
	u := Speed(known.U())
	n.Gap, n.Uncertainty = &gap, &u
	band, edges, pending := j.band(t.pitch, b.Speed)
	if pending != "" {
		n.Pending = pending
		return n
	}
	n.Verdict = band.Verdict(gap)
	n.EdgeOf = edges.edgeOf(gap.MPH, known, n.Verdict, j.unit)
	n.OnEdge, n.SoFar = n.EdgeOf != Pending, b.under(enough)
	n.Said = n.Verdict.Said(n.EdgeOf, n.SoFar)
	n.Band = edges.aim(b.Speed)
	return n
}

// band returns the pitch's band and its edges under the baseline, or a sentence
// that says why there are none.
func (j *judge) band(p Pitch, baseline Speed) (Band, Edges, string) {
	band, ok := j.pitcher.BandOf(p)
	switch {
	case !ok:
		return Band{}, Edges{}, noBand(p)
	case band.Check() != nil:
		return Band{}, Edges{}, badBand(p)
	}
	edges, ok := band.Under(baseline, j.way)
	if !ok {
		return Band{}, Edges{}, noWay
	}
	return band, edges, ""
}

// between returns the real seconds from frame a to frame b of the clock, or nil if
// either is not marked.
func between(c Clock, a, b int) *float64 {
	if a < 0 || b < 0 || a >= c.Frames() || b >= c.Frames() || c.Den == 0 {
		return nil
	}
	seconds := c.RealSeconds(a, b)
	return &seconds
}
