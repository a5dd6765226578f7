package bullpen

import (
	"fmt"
	"math"
)

// hypot adds two independent standard uncertainties.
func hypot(a, b Speed) Speed { return Speed(math.Hypot(float64(a), float64(b))) }

// summary describes one set, given the numbers of every rep.
func (j *judge) summary(s *set, reps []RepNumbers) Summary {
	sum := Summary{
		Pitch: s.pitch, PitchName: s.pitch.name(), Drill: s.drill, Gun: s.gun,
		N: s.sample.N, Mean: Speed(s.sample.Mean), SD: spread(s.sample),
		Range: Range{Speed(s.sample.Min), Speed(s.sample.Max)},
	}
	gaps := j.gaps(s, reps, &sum)
	sum.Baseline = j.bases.before(next, s.group)
	switch {
	case s.pitch == j.bases.pitch:
		sum.Pending = j.bases.itself
	case sum.Baseline == nil:
		sum.Pending = j.bases.noBaseline(s.group, s.drill)
	}
	if sum.Pending != "" {
		sum.ChancePending = sum.Pending
		return sum
	}
	if gaps.N > 0 {
		sum.SDGap = spread(gaps)
		u := j.standardError(s, gaps, *sum.Baseline)
		sum.StandardError = &u
	}
	band, edges, pending := j.band(s.pitch, sum.Baseline.Speed)
	if pending != "" {
		sum.Pending, sum.ChancePending = pending, pending
		return sum
	}
	sum.Band, sum.Bands = &band, band.All(sum.Baseline.Speed, j.way)
	sum.Aim = edges.aim(sum.Baseline.Speed)
	sum.AimSaid = sum.Aim.Whole(j.unit)
	if sum.MeanGap != nil {
		sum.Verdict = band.Verdict(*sum.MeanGap)
		sum.EdgeOf = edges.edgeOf(sum.MeanGap.MPH, *sum.StandardError, sum.Verdict)
		sum.OnEdge, sum.EdgeSaid = sum.EdgeOf != Pending, edges.edgeWords(sum.Verdict, sum.EdgeOf, j.unit)
		if sum.ComeBackOn = edges.comeBackOn(sum.MeanGap.MPH, sum.Verdict); sum.ComeBackOn != nil {
			sum.ComeBackOnSaid = sum.ComeBackOn.Whole(j.unit)
		}
	}
	if sum.Judged > 0 {
		share := Wilson(sum.InBand, sum.Judged, 0.95)
		sum.Share = &share
	}
	if s.sample.N < fewest {
		sum.ChancePending = fmt.Sprintf("A chance takes %d readings of the %s in %s from one place, and there are fewer: %d.", fewest, s.pitch.name(), drillWords(s.drill), s.sample.N)
		return sum
	}
	chance := s.chance(*sum.Aim)
	sum.NextInBand = &chance
	return sum
}

// gaps fills in the mean gap and the counts of verdicts, and describes the gaps.
func (j *judge) gaps(s *set, reps []RepNumbers, sum *Summary) Sample {
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
		return Sample{}
	}
	gaps, n := SampleOf(mph), float64(len(mph))
	mean := Gap{MPH: Speed(gaps.Mean), KMH: kmh / n, Percent: percent / n}
	if len(millis) > 0 {
		later := SampleOf(millis).Mean
		mean.Millis = &later
	}
	sum.MeanGap = &mean
	return gaps
}

// standardError returns the standard uncertainty of the set's mean gap. Under one
// baseline it is that of the two means; where every rep has its own baseline (the
// last one before it) it is that of the gaps' mean. See Uncertainty.
func (j *judge) standardError(s *set, gaps Sample, b Baseline) Speed {
	if b.Policy == Last {
		return ofMean(gaps.N, gaps.SD, 2*s.own)
	}
	return hypot(ofMean(s.sample.N, s.sample.SD, s.own), b.uncertainty)
}

// chance is that the next reading lies in aim, on the display of the latest one.
func (s *set) chance(aim Range) float64 {
	shown := s.throws[len(s.throws)-1].reading
	values := make([]float64, len(s.throws))
	for i, t := range s.throws {
		values[i] = t.speed.In(shown.Unit)
	}
	return NextBetween(SampleOf(values), shown.Step, aim.Lo.In(shown.Unit), aim.Hi.In(shown.Unit))
}
