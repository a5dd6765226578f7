package wire

import "tenoff/internal/bullpen"

// Home is everything the first page shows.
type Home struct {
	Today    string         `json:"today" format:"date" doc:"the server's day"`
	Inbox    []HomeworkCard `json:"inbox" nullable:"false" doc:"homework, what needs you first; of what is answered the last ten"`
	Caution  string         `json:"caution" doc:"stands beside words about pain"`
	Asked    []AskedOf      `json:"asked" nullable:"false" doc:"bullpens with readings that are asked about, latest first, at most eight"`
	Moves    []Move         `json:"moves" nullable:"false" doc:"pitchers who came from another instructor or went to one, latest first, until it is put away"`
	Lessons  []Lesson       `json:"lessons" nullable:"false" doc:"days of pitchers with readings from the field that belong to no rep yet, latest first"`
	Bullpens []BullpenCard  `json:"bullpens" nullable:"false" doc:"latest first, at most 24"`
	Pitchers []RosterCard   `json:"pitchers" nullable:"false" doc:"those who threw last, by label, at most 24"`
	Films    []Film         `json:"films" nullable:"false" doc:"being read, or refused and not yet dismissed"`

	MorePitchers int `json:"morePitchers" doc:"how many there are besides; /api/pitchers lists all"`
}

// AskedOf says how many readings of a bullpen are asked about.
type AskedOf struct {
	BullpenID    string `json:"bullpenId"`
	PitcherLabel string `json:"pitcherLabel"`
	Day          string `json:"day" format:"date"`
	Readings     int    `json:"readings"`
}

// RosterCard is a pitcher on the first page.
type RosterCard struct {
	PitcherCard
	Target *SmallTarget `json:"target,omitempty" doc:"of her latest bullpen that has one; missing also while it is being worked out"`
	Weeks  []WeekGap    `json:"weeks" nullable:"false" doc:"mean gap of the target's pitch, bullpen by bullpen, earliest first, at most eight"`
	Due    string       `json:"due,omitempty" format:"date" doc:"when the homework is due that nothing came of yet; the earliest"`
}

// SmallTarget is a target without its reps' names, drawn from what is stored.
type SmallTarget struct {
	BullpenID string       `json:"bullpenId"`
	Day       string       `json:"day" format:"date"`
	PitchName string       `json:"pitchName"`
	Drill     string       `json:"drill"`
	Headline  string       `json:"headline" doc:"what it tells, in words"`
	Unit      bullpen.Unit `json:"unit"`
	Band      Band         `json:"band" doc:"in unit"`
	Own       *OwnSpread   `json:"own,omitempty" doc:"per cent: the spread of her own fastballs' body speed"`
	Shots     []SmallShot  `json:"shots" nullable:"false"`
}

// OwnSpread is from where to where her own fastballs lay.
type OwnSpread struct {
	Lo float64 `json:"lo"`
	Hi float64 `json:"hi"`
}

// SmallShot is one rep on a small target.
type SmallShot struct {
	Gap  *float64 `json:"gap,omitempty" doc:"under the baseline, in the target's unit"`
	Body *float64 `json:"body,omitempty" doc:"per cent of her own fastballs"`
	Well bool     `json:"well" doc:"in the band, and the same body, or its body was not filmed"`
	Half bool     `json:"half,omitempty" doc:"in the band and on film, and of its body the film can't tell"`
}

// WeekGap is a bullpen on the line of weeks.
type WeekGap struct {
	Day string           `json:"day" format:"date"`
	Gap float64          `json:"gap" doc:"mean gap in the target's unit"`
	Gun bullpen.GunPlace `json:"gun,omitempty" doc:"where it was read from; missing where that is not known"`
}

// SmallTargetOf returns a glance's target as the API says it, nil where it has none.
func SmallTargetOf(bullpenID, day string, g bullpen.Glance) *SmallTarget {
	if g.Band == nil || len(g.Shots) == 0 {
		return nil
	}
	out := &SmallTarget{
		BullpenID: bullpenID, Day: day, PitchName: g.PitchName, Drill: g.Drill, Headline: g.Headline, Unit: g.Unit, Band: Band(*g.Band),
		Shots: make([]SmallShot, len(g.Shots)),
	}
	if g.Own != nil {
		out.Own = &OwnSpread{Lo: g.Own[0], Hi: g.Own[1]}
	}
	for i, s := range g.Shots {
		out.Shots[i] = SmallShot(s)
	}
	return out
}

// BullpenList is a list of bullpens.
type BullpenList struct {
	Bullpens []BullpenCard `json:"bullpens" nullable:"false" doc:"latest first"`
	Next     string        `json:"next,omitempty" doc:"send it as cursor for the next page; missing: that was the last"`
}

// PitcherList is a list of pitchers.
type PitcherList struct {
	Pitchers []PitcherCard `json:"pitchers" nullable:"false" doc:"by label"`
}
