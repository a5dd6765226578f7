package bullpen

import (
	"fmt"
	"math"

	"tenoff/internal/evidence"
)

// The speeds that can be a ball's at all, mph; beyond them nothing is computed.
// What a coach may have mistyped inside them is only asked about, by Questions.
const slowest, fastest Speed = 0.1, 1000

// possible says whether s can be a ball's speed.
func (s Speed) possible() bool { return s >= slowest && s <= fastest }

// GapUnder returns how far the reading lies under the baseline, both of which must
// be speeds a ball can have (0.1..1000 mph). A zero way leaves the milliseconds out.
func GapUnder(baseline, reading Speed, way Way) Gap {
	g := Gap{
		MPH:     baseline - reading,
		KMH:     (baseline - reading).In(KMH),
		Percent: 100 * float64(reading/baseline),
	}
	if way.Metres > 0 {
		later := way.Later(baseline, reading)
		g.Millis = &later
	}
	return g
}

// DefaultGunTolerance is the half-width of a hand-held gun's tolerance that makers
// state: +-1 mph.
const DefaultGunTolerance Speed = 1

// firmly is how sure a verdict has to be to be said without "on the edge".
const firmly = 0.95

// edgeOf returns the verdict beyond the edge that the gap may as well lie on the other
// side of: the likeliest other one where v itself is less than nineteen in twenty sure by what
// is known of the gap, or the one that the gap has when it is rounded as it is shown; Pending
// where v is firm.
func (e Edges) edgeOf(gap Speed, known evidence.Estimate, v Verdict, unit Unit) Verdict {
	if e.isFar(known) && e.verdict(Speed(known.Value)) == v {
		return Pending
	}
	own, beyond := e.chanceOf(v, known)
	if own < firmly {
		return beyond
	}
	if shown := e.verdict(SpeedOf(math.Round(10*gap.In(unit))/10, unit)); shown != v {
		return shown
	}
	return Pending
}

// chanceOf returns the chance, 0 to 1, that a gap of which so much is known has the verdict v,
// and the likeliest other verdict.
func (e Edges) chanceOf(v Verdict, known evidence.Estimate) (own float64, beyond Verdict) {
	soft := Soft
	if e.Hi == e.Limit { // no gap is soft
		soft = TooSoft
	}
	lo, hi, limit := known.Below(float64(e.Lo)), known.Below(float64(e.Hi)), known.Below(float64(e.Limit))
	chances := [...]struct {
		verdict Verdict
		chance  float64
	}{
		{TooFirm, lo},
		{InBand, hi - lo},
		{soft, limit - hi},
		{TooSoft, 1 - limit},
	}
	most := 0.0
	for _, c := range chances {
		switch {
		case c.verdict == v:
			own += c.chance
		case c.chance > most:
			beyond, most = c.verdict, c.chance
		}
	}
	return own, beyond
}

// realChance is how likely, by what was read alone, a mean gap has to have another verdict for
// that to be said: a gap further from an edge than about 2.3 of its standard errors (more with
// few degrees of freedom) is on none, whatever gaps usually are.
const realChance = 0.01

// edgeOfMean is edgeOf for a mean gap and its own estimate. Readings that happen to lie close
// together are the very ones that seem firm, so a mean is held against the edges as widely as
// hers may scatter. And of far gaps that are known badly many are nearer ones with bad luck: a
// verdict beyond the band has to be firm with what gaps usually are counted as well. That only
// ever takes firmness away. It makes no mean firm that is not so by itself, nothing firmly in
// the band, and nothing an edge that lies beyond it by more than realChance.
func (e Edges) edgeOfMean(gap Speed, own evidence.Estimate, v Verdict, unit Unit) Verdict {
	alone := own.AsWide(0.8)
	if beyond := e.edgeOf(gap, alone, v, unit); beyond != Pending || v == InBand {
		return beyond
	}
	if chance, _ := e.chanceOf(v, own); 1-chance < realChance {
		return Pending
	}
	return e.edgeOf(gap, alone.Given(e.usual()), v, unit)
}

// leastUsual is how far mean gaps go from pitcher to pitcher at least, a standard deviation
// in mph. A narrower band changes what a coach wants and not what pitchers throw.
//
// A working value: of fastpitch no published spread of change-ups' gaps over pitchers was
// found. In baseball, of more than 400 major-league pitchers, gaps under the four-seam fastball
// went from 2.8 to 18.7 mph, the fifth largest 13.0 (Inside the change-up, The Hardball Times,
// fangraphs.com/tht, from what a tracking system saw since 2007). Were they normal about some
// 8.5, the fifth of 400 would lie 2.3 deviations out, which makes one about 2. Girls who are
// learning the pitch lie further apart than grown men who live on it.
const leastUsual = 3.5

// usual is what is known of a mean gap before anything is read: normal about the middle of
// the band, half as wide as it is from the band's beginning to where too soft begins, and
// leastUsual at least. Of mean gaps like these 43 in 100 lie in a band of 8 to 12, 28 are too
// firm and 8, from 15 on, too soft. A working value, as leastUsual is.
func (e Edges) usual() evidence.Estimate {
	return evidence.Estimate{Value: float64(e.Lo+e.Hi) / 2, Scale: max(leastUsual, float64(e.Limit-e.Lo)/2), DF: math.Inf(1)}
}

// isFar says whether the gap lies so far from every edge that its verdict is firm, which
// saves working its chances out: a fortieth of Student's t with 4 degrees of freedom, and
// less of any with more, lies over 2.7764 (a table of t).
func (e Edges) isFar(gap evidence.Estimate) bool {
	least := max(2.7764*gap.Scale, 0.1)
	for _, edge := range [...]Speed{e.Lo, e.Hi, e.Limit} {
		if math.Abs(gap.Value-float64(edge)) < least {
			return false
		}
	}
	return gap.DF >= 4
}

// verdict is that of a gap, mph.
func (e Edges) verdict(gap Speed) Verdict {
	return Band{Unit: InMPH, Lo: float64(e.Lo), Hi: float64(e.Hi), Limit: float64(e.Limit)}.Verdict(Gap{MPH: gap})
}

// edgeWords says in one sentence that the gap can't be told from the edge to the verdict
// beyond, in the unit.
func (e Edges) edgeWords(v, beyond Verdict, unit Unit) string {
	at := func(edge Speed) string { return fmt.Sprintf("%s %s", Tenths(edge.In(unit)), unit) }
	var where string
	switch {
	case beyond == Pending:
		return ""
	case v == TooFirm || beyond == TooFirm:
		where = "the band begins at " + at(e.Lo)
	case v == TooSoft || beyond == TooSoft:
		where = "too soft begins at " + at(e.Limit)
	default:
		where = "the band ends at " + at(e.Hi)
	}
	return fmt.Sprintf("On the edge: %s, and this gap may lie on either side.", where)
}

// comeBackOn returns how much speed can come back on: gap-hi .. gap-lo, or nil for
// a gap that is not above the band.
func (e Edges) comeBackOn(gap Speed, v Verdict) *Range {
	if v != Soft && v != TooSoft {
		return nil
	}
	return &Range{Lo: gap - e.Hi, Hi: gap - e.Lo}
}

// aim returns the readings that lie in the band under the baseline.
func (e Edges) aim(baseline Speed) *Range {
	return &Range{Lo: max(0, baseline-e.Hi), Hi: max(0, baseline-e.Lo)}
}
