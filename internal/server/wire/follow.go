package wire

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
	"tenoff/internal/trust"
)

// PitcherPage is everything the pitcher's page shows.
type PitcherPage struct {
	Today    string        `json:"today" format:"date" doc:"the server's day"`
	Pitcher  Pitcher       `json:"pitcher"`
	Bullpens []BullpenCard `json:"bullpens" nullable:"false" doc:"latest first"`
	Trends   []Trend       `json:"trends" nullable:"false" doc:"per pitch, full pitches only"`
	Load     []LoadDay     `json:"load" nullable:"false" doc:"days with a rep, earliest first"`
	Caution  string        `json:"caution" doc:"stands wherever a load is shown"`
}

// Trend is one pitch over all bullpens. A slope that can't be told is left out.
type Trend struct {
	Pitch       bullpen.Pitch    `json:"pitch"`
	PitchName   string           `json:"pitchName"`
	Points      []TrendPoint     `json:"points" nullable:"false" doc:"earliest first"`
	Gap         *SpeedSlope      `json:"gap,omitempty" doc:"of the mean gap"`
	SD          *SpeedSlope      `json:"sd,omitempty" doc:"of the gaps' standard deviation"`
	Share       *Slope           `json:"share,omitempty" doc:"of the share in the band (1 = all), per week"`
	Baseline    *SpeedSlope      `json:"baseline,omitempty" doc:"of the mean speed of her baseline pitch, read from baselineGun"`
	BaselineGun bullpen.GunPlace `json:"baselineGun,omitempty" doc:"where most bullpens' baseline pitch was read: its speeds from elsewhere can't be compared with these"`
	PlacesSaid  string           `json:"placesSaid,omitempty" doc:"one sentence: that it was read from several places, and what its slope counts; missing where it was not"`
	Body        *Slope           `json:"body,omitempty" doc:"of the body's speed (per cent of her fastballs' that day), points per week"`
}

// TrendPoint is one pitch of one bullpen.
type TrendPoint struct {
	BullpenID string           `json:"bullpenId"`
	Day       string           `json:"day" format:"date"`
	Gun       bullpen.GunPlace `json:"gun" doc:"where most of its reps were read"`
	GunSaid   string           `json:"gunSaid" doc:"the same in a sentence: behind the catcher"`
	N         int              `json:"n" doc:"reps with a reading"`
	Mean      Speed            `json:"mean" doc:"mean reading"`
	MeanGap   *Speed           `json:"meanGap,omitempty" doc:"mean gap under the baseline"`
	SDGap     *Speed           `json:"sdGap,omitempty" doc:"standard deviation of the gaps, from two on"`
	Judged    int              `json:"judged" doc:"reps with a verdict"`
	InBand    int              `json:"inBand" doc:"those in the band"`
	Band      *SpeedRange      `json:"band,omitempty" doc:"the band as gaps under the baseline, whatever unit it was set in"`
	Limit     *Speed           `json:"limit,omitempty" doc:"the gap from which it is too soft; missing where band is"`
	Body      *TrendBody       `json:"body,omitempty" doc:"did the body slow down that day"`
}

// TrendBody is what one bullpen tells of the body on a pitch.
type TrendBody struct {
	Verdict tempo.Verdict `json:"verdict"`
	Legs    *Slowing      `json:"legs,omitempty" doc:"drive to plant, whose speed is the point of the trend; missing while there is nothing to compare"`
	Own     *PercentRange `json:"own,omitempty" doc:"between which body speeds one more of her own fastballs would lie 95 times of 100; missing with fewer than three"`
}

// Slope is how fast something changes over the weeks, with an interval that
// holds together with those of all the page's slopes.
type Slope struct {
	PerWeek float64 `json:"perWeek"`
	Lo      float64 `json:"lo"`
	Hi      float64 `json:"hi"`
	N       int     `json:"n" doc:"bullpens it rests on"`
}

// SpeedSlope is how fast a speed changes over the weeks, with an interval that
// holds together with those of all the page's slopes.
type SpeedSlope struct {
	PerWeek Speed `json:"perWeek"`
	Lo      Speed `json:"lo"`
	Hi      Speed `json:"hi"`
	N       int   `json:"n" doc:"bullpens it rests on"`
}

func slopeOf(s *trust.Slope) *Slope {
	if s == nil {
		return nil
	}
	return &Slope{PerWeek: s.PerWeek, Lo: s.Lo, Hi: s.Hi, N: s.N}
}

func speedSlopeOf(s *trust.Slope) *SpeedSlope {
	if s == nil {
		return nil
	}
	of := func(mph float64) Speed { return SpeedOf(bullpen.Speed(mph)) }
	return &SpeedSlope{PerWeek: of(s.PerWeek), Lo: of(s.Lo), Hi: of(s.Hi), N: s.N}
}

// LoadDay is how much she threw on one day.
type LoadDay struct {
	Day        string     `json:"day" format:"date"`
	Reps       int        `json:"reps" doc:"all reps logged that day, warm-up included"`
	WarmUp     int        `json:"warmUp" doc:"warm-up reps among them"`
	SevenDays  int        `json:"sevenDays" doc:"reps in the seven days that end with this one"`
	DaysInARow int        `json:"daysInARow" doc:"days with reps in a row, this one included"`
	Notes      []LoadNote `json:"notes" nullable:"false" doc:"the day beside published guidance, as information"`
}

// LoadNote sets a day beside one line of published guidance.
type LoadNote struct {
	Text   string `json:"text" doc:"one sentence"`
	Source string `json:"source" doc:"who published it, and what it is worth"`
}

// TrendOf returns t as the API says it.
func TrendOf(t trust.Trend) Trend {
	out := Trend{
		Pitch: t.Pitch, PitchName: PitchName(t.Pitch), Points: make([]TrendPoint, len(t.Points)),
		Gap: speedSlopeOf(t.Gap), SD: speedSlopeOf(t.SD), Share: slopeOf(t.Share), Baseline: speedSlopeOf(t.Baseline),
		Body: slopeOf(t.Body), BaselineGun: t.BaselineGun, PlacesSaid: t.PlacesSaid,
	}
	for i, p := range t.Points {
		out.Points[i] = TrendPoint{
			BullpenID: p.BullpenID, Day: p.Day, Gun: p.Gun, GunSaid: p.Gun.From(), N: p.N, Mean: SpeedOf(p.Mean), MeanGap: speedOf(p.MeanGap),
			SDGap: speedOf(p.SDGap), Judged: p.Judged, InBand: p.InBand, Band: rangeOf(p.Band), Limit: speedOf(p.Limit),
		}
		if p.Body != nil {
			out.Points[i].Body = &TrendBody{Verdict: p.Body.Verdict, Legs: (*Slowing)(p.Body.Legs), Own: (*PercentRange)(p.Body.Own)}
		}
	}
	return out
}

// LoadOf returns days as the API says them.
func LoadOf(days []trust.Day) []LoadDay {
	out := make([]LoadDay, len(days))
	for i, d := range days {
		out[i] = LoadDay{
			Day: d.Day, Reps: d.Reps, WarmUp: d.WarmUp, SevenDays: d.SevenDays, DaysInARow: d.DaysInARow,
			Notes: make([]LoadNote, len(d.Notes)),
		}
		for j, n := range d.Notes {
			out[i].Notes[j] = LoadNote(n)
		}
	}
	return out
}
