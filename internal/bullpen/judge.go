package bullpen

import "cmp"

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
	sets    []*set           // in order of their first rep
	faster  map[group]Sample // of the speeds of pitches that are not meant to be slower, mph
	other   []Question       // for each rep, whether its reading is in the other unit
	bases   bases
}

func newJudge(pitcher Pitcher, pen Bullpen, reps []Rep) *judge {
	j := &judge{pitcher: pitcher, unit: cmp.Or(pitcher.Unit, pen.Unit, MPH), thrown: throws(pitcher, pen, reps)}
	if way, ok := pitcher.Way(); ok {
		j.way = way
	}
	j.bases = bases{
		pitch:  cmp.Or(pitcher.BaselinePitch, Fastball),
		policy: pitcher.Policy,
		typed:  pitcher.TypedBaseline,
	}
	j.bases.itself = isBaseline(j.bases.pitch)
	j.sets, j.bases.sets = setsOf(j.thrown)
	j.faster = fasterOf(j.thrown)
	j.other = j.inOther(pen.Usual, len(reps))
	return j
}

// numbers judges one throw.
func (j *judge) numbers(t *throw) RepNumbers {
	n := RepNumbers{RepID: t.rep.ID}
	if t.rep.Reading != nil {
		q := j.question(t)
		n.Doubt, n.Meant = q.Sentence, q.Meant
	}
	if !t.read {
		n.Pending = noReading(t)
		return n
	}
	n.Speed = &t.speed
	if t.rep.WarmUp {
		n.Pending = "A warm-up rep is not judged."
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
	u := hypot(t.u, b.uncertainty)
	n.Gap, n.Uncertainty = &gap, &u
	band, edges, pending := j.band(t.pitch, b.Speed)
	if pending != "" {
		n.Pending = pending
		return n
	}
	n.Verdict = band.Verdict(gap)
	n.EdgeOf = edges.edgeOf(gap.MPH, u, n.Verdict)
	n.OnEdge = n.EdgeOf != Pending
	if n.ComeBackOn = edges.comeBackOn(gap.MPH, n.Verdict); n.ComeBackOn != nil {
		n.ComeBackOnSaid = n.ComeBackOn.Whole(j.unit)
	}
	n.Aim = edges.aim(b.Speed)
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

// question asks whether t's reading can be right, given the others. A slip of its own
// that explains it is likelier than a whole run in the other unit.
func (j *judge) question(t *throw) Question {
	s := j.bases.sets[setKey{t.pitch, t.in}]
	if s == nil || !t.counts() {
		return question(t.reading, Sample{}, Sample{})
	}
	var faster Sample
	if isSlower(t.pitch) {
		faster = j.faster[t.in]
	}
	q := question(t.reading, s.sample.without(float64(t.speed)), faster)
	if other := j.other[t.index]; q.Meant == nil && other.Meant != nil {
		return other
	}
	return q
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
