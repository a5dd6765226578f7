package bullpen

import (
	"fmt"
	"math"

	"tenoff/internal/evidence"
)

// summary describes one set, given the numbers of every rep.
func (j *judge) summary(s *set, reps []RepNumbers) Summary {
	sum := Summary{
		Pitch: s.pitch, PitchName: s.pitch.name(), Drill: s.drill, Gun: s.gun,
		N: s.sample.N, Mean: Speed(s.sample.Mean), SD: spread(s.sample),
		Range: Range{Speed(s.sample.Min), Speed(s.sample.Max)},
		Asked: len(s.asked), AskedSaid: leftOut(s.asked),
	}
	j.gaps(s, reps, &sum)
	sum.Baseline = j.bases.next(s.group)
	sum.BaselineSaid = j.baselineSaid(sum.Baseline, s)
	switch {
	case s.pitch == j.bases.pitch:
		sum.Pending = j.bases.itself
		sum.Drift = j.driftSaid(s, false)
	case len(s.throws) == 0:
		sum.Pending = sum.AskedSaid
	case sum.Baseline == nil:
		sum.Pending = j.bases.noBaseline(s.group, s.drill)
	}
	if sum.Pending != "" {
		sum.ChancePending = sum.Pending
		return sum
	}
	var gap evidence.Estimate
	if sum.MeanGap != nil {
		gap = j.meanGap(s, reps, *sum.MeanGap, *sum.Baseline)
		u := Speed(gap.U())
		sum.StandardError = &u
		sum.From = new(sum.Mean + sum.MeanGap.MPH)
		sum.Moment = j.moment(sum)
		j.order(s, &sum)
	}
	band, edges, pending := j.band(s.pitch, sum.Baseline.Speed)
	if pending != "" {
		sum.Pending, sum.ChancePending = pending, pending
		return sum
	}
	sum.Band, sum.Bands = &band, band.All(sum.Baseline.Speed, j.way)
	sum.SoFar = s.sample.N < enough || sum.Baseline.under(enough)
	few := s.sample.N < fewest || sum.Baseline.under(fewest)
	if sum.MeanGap != nil {
		then, ok := band.Under(*sum.From, j.way) // where she stood when she threw these
		if !ok {
			then = edges
		}
		sum.SoFar = sum.SoFar || then.isWide(gap)
		sum.Verdict = band.Verdict(*sum.MeanGap)
		sum.EdgeOf = then.edgeOfMean(sum.MeanGap.MPH, gap, sum.Verdict, j.unit)
		sum.OnEdge, sum.EdgeSaid = sum.EdgeOf != Pending, then.edgeWords(sum.Verdict, sum.EdgeOf, j.unit)
		sum.Said = sum.Verdict.Said(sum.EdgeOf, sum.SoFar)
		if sum.ComeBackOn = then.comeBackOn(sum.MeanGap.MPH, sum.Verdict); few {
			sum.ComeBackOn = nil
		} else if sum.ComeBackOn != nil {
			sum.ComeBackOnSaid = sum.ComeBackOn.MiddleFirst(j.unit)
		}
	}
	if sum.Judged > 0 {
		share := Wilson(sum.InBand, sum.Judged, 0.95)
		sum.Share = &share
	}
	if few {
		sum.ChancePending = j.tooFew(s, sum.Baseline)
		return sum
	}
	sum.Aim = edges.aim(sum.Baseline.Speed)
	sum.AimSaid = sum.Aim.MiddleFirst(j.unit)
	chance := j.chance(s, *sum.Aim)
	sum.NextInBand = &chance
	return sum
}

// tooFew says what a chance and advice wait for.
func (j *judge) tooFew(s *set, b *Baseline) string {
	pitch, n := s.pitch, s.sample.N
	if n >= fewest {
		pitch, n = b.Pitch, b.N
	}
	return fmt.Sprintf("A speed to aim for takes %d readings of the %s%s; there %s %d.", fewest, pitch.name(), inDrill(s.drill), map[bool]string{true: "is", false: "are"}[n == 1], n)
}

// inDrill says where, "" for the full pitch.
func inDrill(drill string) string {
	if DrillKey(drill) == "" {
		return ""
	}
	return " in " + drillWords(drill)
}

// under says whether the baseline is a line through fewer than n reps.
func (b *Baseline) under(n int) bool { return b.Policy == MeanOf && b.N < n }

// gaps fills in the mean gap, the spread of the gaps and the counts of verdicts.
func (j *judge) gaps(s *set, reps []RepNumbers, sum *Summary) {
	var mph, millis []float64
	var kmh, percent float64
	for _, t := range s.throws {
		n := reps[t.index]
		if n.Gap == nil {
			continue
		}
		mph = append(mph, float64(n.Gap.MPH))
		kmh += n.Gap.KMH
		percent += n.Gap.Percent
		if n.Gap.Millis != nil {
			millis = append(millis, *n.Gap.Millis)
		}
		if n.Verdict != Pending {
			sum.Judged++
		}
		if n.Verdict == InBand {
			sum.InBand++
		}
	}
	if len(mph) == 0 {
		return
	}
	gaps, n := SampleOf(mph), float64(len(mph))
	mean := Gap{MPH: Speed(gaps.Mean), KMH: kmh / n, Percent: percent / n}
	if len(millis) > 0 {
		later := SampleOf(millis).Mean
		mean.Millis = &later
	}
	sum.MeanGap, sum.SDGap = &mean, spread(gaps)
}

// meanGap returns what is known of the set's mean gap under the baseline. Under her line
// it is that of the two levels, the order thrown included; under one number that of the
// set's mean and that number; where every rep has the last one before it for its baseline,
// reps under the same one share its error.
func (j *judge) meanGap(s *set, reps []RepNumbers, mean Gap, b Baseline) evidence.Estimate {
	gap := j.line.Middle(s.number)
	switch fast := j.bases.sets[setKey{j.bases.pitch, s.group}]; b.Policy {
	case MeanOf:
		gap = j.line.Gap(fast.number, s.number)
		gap.Scale *= math.Sqrt(1 + alike*j.line.Blocked(fast.number, s.number))
	case Typed:
		gap = gap.Blurred(b.level.U() * b.level.U())
	case Hardest:
		gap = gap.BlurredBy(b.level)
	case Last:
		one := b.level
		one.Scale *= math.Sqrt(shared(s, reps))
		gap = gap.BlurredBy(one)
	}
	gap.Value = float64(mean.MPH)
	return gap.Blurred(gain(mean.MPH, Speed(s.sample.Mean)+mean.MPH, j.pitcher.tolerance()))
}

// alike is by how much the variance of a gap grows where one pitch was thrown after the
// other. Reps that follow each other are more alike than those that don't: a working
// autocorrelation of 1/3 makes (1+1/3)/(1-1/3) = 2 of the variance of a mean (Box,
// Jenkins and Reinsel, Time Series Analysis, section 2.1, from memory). Mixed, it cancels.
const alike = 1.0

// isWide says whether the gap is known too badly for any verdict to be more than "so far":
// with a standard uncertainty of more than three tenths of the band not even a gap in its
// middle is in it with nine in ten. Where "in the band" can't be firm, misses are not firm
// either, or a pitcher whose readings go far apart would hear of nothing but misses.
func (e Edges) isWide(gap evidence.Estimate) bool { return gap.U() > 0.3*float64(e.Hi-e.Lo) }

// shared returns how many times the variance of one baseline the mean of gaps has, when
// each counts from the last rep before it: the sum of the squares of the shares of reps
// that have the same one.
func shared(s *set, reps []RepNumbers) float64 {
	under := map[string]float64{}
	var n float64
	for _, t := range s.throws {
		if b := reps[t.index].Baseline; b != nil {
			under[b.RepID]++
			n++
		}
	}
	var sum float64
	for _, k := range under {
		sum += k * k / (n * n)
	}
	return sum
}

// chance is that the next reading lies in aim, on the display of the latest one.
func (j *judge) chance(s *set, aim Range) float64 {
	shown := s.throws[len(s.throws)-1].reading
	next := j.line.Next(s.number, float64(j.bases.last), 0)
	per := Speed(1).In(shown.Unit)
	next.Value, next.Scale = next.Value*per, next.Scale*per
	return nextBetween(next, shown.Step, aim.Lo.In(shown.Unit), aim.Hi.In(shown.Unit))
}

// baselineSaid says of the hardest and the last how the choice moves the gap.
func (j *judge) baselineSaid(b *Baseline, s *set) string {
	if b == nil || b.N == 0 {
		return ""
	}
	switch b.Policy {
	case Hardest:
		fast := j.bases.sets[setKey{j.bases.pitch, s.group}]
		over := Speed(meanOfMost(b.N) * j.line.Spread(fast.number))
		if b.N < 2 {
			return ""
		}
		return fmt.Sprintf("Gaps count from her hardest of %d %s. The more she throws, the harder the hardest: of %d it is about %s %s over her average.",
			b.N, b.Pitch.Plural(), b.N, Tenths(over.In(j.unit)), j.unit)
	case Last:
		return fmt.Sprintf("Gaps count from the last %s before the rep. It is one reading: if it was odd, so are the gaps after it.", b.Pitch.name())
	}
	return ""
}

// moves is how far the slope has to move a gap to be said, mph.
const moves = 0.5

// order says what the order thrown did to the gap of the set, and what would help.
func (j *judge) order(s *set, sum *Summary) {
	fast := j.bases.sets[setKey{j.bases.pitch, s.group}]
	if fast == nil || sum.Baseline.Policy != MeanOf {
		return
	}
	sum.Drift = j.driftSaid(fast, math.Abs(j.line.Shift(fast.number, s.number)) > moves)
	if j.line.Open(fast.number, s.number) > 1.0/3 {
		sum.Mix = fmt.Sprintf("Next time mix %s and %s: one after the other, tiring or warming up looks like part of the gap.", fast.pitch.Plural(), s.pitch.Plural())
	}
}

// driftSaid says how the baseline pitch changed while she threw, if that shows or moves a
// gap.
func (j *judge) driftSaid(fast *set, moved bool) string {
	clear := j.line.Slope().IsClear(0.95)
	if len(fast.throws) == 0 || j.bases.policy != MeanOf || !clear && !moved {
		return ""
	}
	at := func(place int) string {
		return Tenths(math.Round(10*Speed(j.line.Level(fast.number, float64(place)).Value).In(j.unit)) / 10)
	}
	from, to := at(0), at(j.bases.last-1)
	if from == to {
		return ""
	}
	verb := "rose"
	if j.line.Slope().Value < 0 {
		verb = "fell"
	}
	if !clear {
		verb = "seems to have " + map[string]string{"rose": "risen", "fell": "fallen"}[verb]
	}
	return fmt.Sprintf("Her %s %s from %s to %s %s while she threw: gaps count from where it was.", fast.pitch.name(), verb, from, to, j.unit)
}
