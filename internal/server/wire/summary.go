package wire

import "tenoff/internal/bullpen"

// Summary is one pitch in one drill of a bullpen, read from one place. Warm-up
// reps are left out of all of it.
type Summary struct {
	Pitch         bullpen.Pitch    `json:"pitch"`
	PitchName     string           `json:"pitchName"`
	Drill         string           `json:"drill" doc:"empty: the full pitch"`
	Gun           bullpen.GunPlace `json:"gun" doc:"readings from different places are never mixed"`
	N             int              `json:"n" doc:"reps with a reading"`
	Mean          Speed            `json:"mean" doc:"mean reading"`
	SD            *Speed           `json:"sd,omitempty" doc:"standard deviation of the readings, from two on"`
	Range         SpeedRange       `json:"range" doc:"softest and hardest reading"`
	Baseline      *Baseline        `json:"baseline,omitempty" doc:"what the next rep's gap will be counted from"`
	Pending       string           `json:"pending,omitempty" doc:"one sentence: why there are no verdicts, and what to do"`
	BaselineSaid  string           `json:"baselineSaid,omitempty" doc:"one sentence on what the hardest or the last does to the gap"`
	Asked         int              `json:"asked,omitempty" doc:"readings that are asked about, left out of every number here"`
	AskedSaid     string           `json:"askedSaid,omitempty" doc:"the same in one sentence"`
	From          *Speed           `json:"from,omitempty" doc:"what the gaps were counted from, on average"`
	MeanGap       *Gap             `json:"meanGap,omitempty" doc:"mean of the gaps in each unit"`
	SDGap         *Speed           `json:"sdGap,omitempty" doc:"standard deviation of the gaps, from two on"`
	StandardError *Speed           `json:"standardError,omitempty" doc:"standard uncertainty of the mean gap"`
	Verdict       bullpen.Verdict  `json:"verdict" doc:"on the mean gap"`
	OnEdge        bool             `json:"onEdge" doc:"the verdict is less than nineteen in twenty sure: the mean gap may lie beyond an edge"`
	SoFar         bool             `json:"soFar,omitempty" doc:"it hangs on fewer than five reps"`
	Said          string           `json:"said,omitempty" doc:"the verdict in words, with its edge and its few reps"`
	Drift         string           `json:"drift,omitempty" doc:"one sentence: she got faster or slower while she threw"`
	Mix           string           `json:"mix,omitempty" doc:"one sentence: what to do next time, where the order thrown leaves the gap open"`
	EdgeOf        bullpen.Verdict  `json:"edgeOf,omitempty" doc:"on an edge: the verdict beyond it"`
	EdgeSaid      string           `json:"edgeSaid,omitempty" doc:"one sentence: which edge that is"`
	Band          *Band            `json:"band,omitempty" doc:"the target as it was set; none for a pitch without one"`
	Bands         []Band           `json:"bands" nullable:"false" doc:"the same band in every unit under the baseline"`
	Moment        *Moment          `json:"moment,omitempty" doc:"what the mean gap does to a batter; missing where the pitch is no slower or the pitching distance is not known"`
	Judged        int              `json:"judged" doc:"reps with a verdict"`
	InBand        int              `json:"inBand" doc:"those in the band"`
	Share         *Share           `json:"share,omitempty" doc:"share in the band"`
	NextInBand    *float64         `json:"nextInBand,omitempty" minimum:"0" maximum:"1" doc:"chance that the next one reads in the band"`
	ChancePending string           `json:"chancePending,omitempty" doc:"one sentence: why there is no chance yet"`
	Aim           *SpeedRange      `json:"aim,omitempty" doc:"readings that lie in the band; missing below three reps"`
	AimSaid       string           `json:"aimSaid,omitempty" doc:"the same in whole numbers of her unit, the middle one first: 43 (41 to 44)"`
	ComeBackOn    *SpeedRange      `json:"comeBackOn,omitempty" doc:"mean gap above the band: how much can come back on; missing below three reps"`
	BackOnSaid    string           `json:"comeBackOnSaid,omitempty" doc:"likewise: 5 (3 to 6)"`
	Next          string           `json:"next,omitempty" doc:"on an instructor's sheet: what to do next with the pitch, first what the body asks for"`
	Then          string           `json:"then,omitempty" doc:"and then, what the gap asks for"`
}

// Baseline is the speed that gaps are counted from.
type Baseline struct {
	Speed  Speed          `json:"speed"`
	Policy bullpen.Policy `json:"policy"`
	Pitch  bullpen.Pitch  `json:"pitch" doc:"whose speed it is"`
	N      int            `json:"n" doc:"readings it rests on; 0 for a typed one"`
	SD     *Speed         `json:"sd,omitempty" doc:"their standard deviation, from two on"`
	RepID  string         `json:"repId,omitempty" doc:"the one rep it is, for the hardest and the last"`
}

// Gap is how far a reading lies under its baseline.
type Gap struct {
	MPH     float64  `json:"mph" doc:"baseline - reading, mph"`
	KMH     float64  `json:"kmh" doc:"the same, km/h"`
	Percent float64  `json:"percent" doc:"the reading as per cent of the baseline"`
	Millis  *float64 `json:"millis,omitempty" doc:"later at the plate, milliseconds; missing without a pitching distance"`
}

// Share is a share with its 95 % Wilson interval.
type Share struct {
	Value float64 `json:"value" minimum:"0" maximum:"1"`
	Lo    float64 `json:"lo" minimum:"0" maximum:"1"`
	Hi    float64 `json:"hi" minimum:"0" maximum:"1"`
}

// SpeedRange is a range of speeds, or of differences of speeds.
type SpeedRange struct {
	Lo Speed `json:"lo"`
	Hi Speed `json:"hi"`
}

// SummaryOf returns s as the API says it.
func SummaryOf(s bullpen.Summary) Summary {
	out := Summary{
		Pitch: s.Pitch, PitchName: s.PitchName, Drill: s.Drill, Gun: s.Gun, N: s.N,
		Mean: SpeedOf(s.Mean), SD: speedOf(s.SD), Range: *rangeOf(&s.Range),
		Baseline: baselineOf(s.Baseline), Pending: s.Pending,
		MeanGap: gapOf(s.MeanGap), SDGap: speedOf(s.SDGap), StandardError: speedOf(s.StandardError),
		Verdict: s.Verdict, OnEdge: s.OnEdge, EdgeOf: s.EdgeOf, EdgeSaid: s.EdgeSaid, SoFar: s.SoFar, Said: s.Said, Drift: s.Drift, Mix: s.Mix,
		BaselineSaid: s.BaselineSaid, Asked: s.Asked, AskedSaid: s.AskedSaid, From: speedOf(s.From), Band: (*Band)(s.Band), Bands: make([]Band, 0, len(s.Bands)),
		Moment: MomentOf(s.Moment), Judged: s.Judged, InBand: s.InBand, Share: (*Share)(s.Share),
		NextInBand: s.NextInBand, ChancePending: s.ChancePending,
		Aim: rangeOf(s.Aim), AimSaid: s.AimSaid, ComeBackOn: rangeOf(s.ComeBackOn), BackOnSaid: s.ComeBackOnSaid,
	}
	for _, b := range s.Bands {
		out.Bands = append(out.Bands, Band(b))
	}
	return out
}

func baselineOf(b *bullpen.Baseline) *Baseline {
	if b == nil {
		return nil
	}
	return &Baseline{
		Speed: SpeedOf(b.Speed), Policy: b.Policy, Pitch: b.Pitch, N: b.N, SD: speedOf(b.SD), RepID: b.RepID,
	}
}

func gapOf(g *bullpen.Gap) *Gap {
	if g == nil {
		return nil
	}
	return &Gap{MPH: float64(g.MPH), KMH: g.KMH, Percent: g.Percent, Millis: g.Millis}
}
