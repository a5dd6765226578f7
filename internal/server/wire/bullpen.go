package wire

import "tenoff/internal/bullpen"

// Bullpen is one practice session of one pitcher.
type Bullpen struct {
	ID        string           `json:"id"`
	Version   int64            `json:"version" doc:"send it back with a PATCH"`
	PitcherID string           `json:"pitcherId"`
	Day       string           `json:"day" format:"date" doc:"the day it was thrown, where it was thrown"`
	Title     string           `json:"title"`
	Gun       bullpen.GunPlace `json:"gun" doc:"the default for new readings"`
	Unit      bullpen.Unit     `json:"unit" doc:"the default for new readings"`
	Step      float64          `json:"step" doc:"the default display step for new readings, in unit"`
	Note      string           `json:"note"`
}

// NewBullpen is a POST body: name a pitcher, or give a new one's label.
type NewBullpen struct {
	PitcherID    string           `json:"pitcherId,omitempty" maxLength:"64" doc:"whose it is"`
	PitcherLabel string           `json:"pitcherLabel,omitempty" maxLength:"60" doc:"makes a new pitcher when no pitcherId is sent"`
	Day          string           `json:"day,omitempty" format:"date" doc:"today unless said; moved to the first film's day while nobody has said"`
	Title        string           `json:"title,omitempty" maxLength:"120"`
	Gun          bullpen.GunPlace `json:"gun,omitempty" doc:"behind catcher unless said"`
	Unit         bullpen.Unit     `json:"unit,omitempty" doc:"the pitcher's unit unless said"`
	Step         float64          `json:"step,omitempty" exclusiveMinimum:"0" maximum:"1" doc:"1 unless said"`
	Note         string           `json:"note,omitempty" maxLength:"4000"`
}

// BullpenEdit is a PATCH body.
type BullpenEdit struct {
	Version   int64             `json:"version" doc:"the version you saw; 409 when it is no longer the current one"`
	PitcherID *string           `json:"pitcherId,omitempty" maxLength:"64"`
	Day       *string           `json:"day,omitempty" format:"date"`
	Title     *string           `json:"title,omitempty" maxLength:"120"`
	Gun       *bullpen.GunPlace `json:"gun,omitempty"`
	Unit      *bullpen.Unit     `json:"unit,omitempty"`
	Step      *float64          `json:"step,omitempty" exclusiveMinimum:"0" maximum:"1"`
	Note      *string           `json:"note,omitempty" maxLength:"4000"`
}

// BullpenCard is a bullpen in a list.
type BullpenCard struct {
	ID           string `json:"id"`
	Version      int64  `json:"version"`
	Revision     int64  `json:"revision" doc:"rises with every change inside the bullpen"`
	PitcherID    string `json:"pitcherId"`
	PitcherLabel string `json:"pitcherLabel"`
	Day          string `json:"day" format:"date"`
	Title        string `json:"title"`
	Films        int    `json:"films"`
	Reading      int    `json:"reading" doc:"films still being read"`
	Reps         int    `json:"reps"`
	Readings     int    `json:"readings" doc:"reps that have a reading"`
	Clips        int    `json:"clips" doc:"finished clips"`
}

// Sheet is everything the film room and the bullpen page show of one bullpen.
type Sheet struct {
	Bullpen   Bullpen   `json:"bullpen"`
	Revision  int64     `json:"revision" doc:"rises with every change inside the bullpen; events name the latest"`
	Pitcher   Pitcher   `json:"pitcher"`
	Films     []Film    `json:"films" nullable:"false" doc:"in order"`
	Reps      []Rep     `json:"reps" nullable:"false" doc:"as thrown"`
	Summaries []Summary `json:"summaries" nullable:"false" doc:"per pitch and drill"`
	Clips     []Clip    `json:"clips" nullable:"false"`
	Jobs      []Job     `json:"jobs" nullable:"false" doc:"queued, running or failed"`
}

// Summary is one pitch in one drill of a bullpen.
type Summary struct {
	Pitch         bullpen.Pitch    `json:"pitch"`
	PitchName     string           `json:"pitchName"`
	Drill         string           `json:"drill" doc:"empty: the full pitch"`
	Gun           bullpen.GunPlace `json:"gun" doc:"where the gun stood; readings from different places are never mixed"`
	Band          *Band            `json:"band,omitempty" doc:"the target, as written; none for a pitch without one"`
	BandGap       *SpeedRange      `json:"bandGap,omitempty" doc:"the band as a gap under this baseline"`
	LimitGap      *Speed           `json:"limitGap,omitempty" doc:"too soft from this gap on"`
	Baseline      *Speed           `json:"baseline,omitempty" doc:"what gaps are counted from"`
	N             int              `json:"n" doc:"reps with a reading"`
	Mean          *Speed           `json:"mean,omitempty" doc:"mean reading"`
	SD            *Speed           `json:"sd,omitempty" doc:"standard deviation, from two reps on"`
	Range         *SpeedRange      `json:"range,omitempty" doc:"softest and hardest reading"`
	MeanGap       *Speed           `json:"meanGap,omitempty"`
	Judged        int              `json:"judged" doc:"reps with a verdict"`
	InBand        int              `json:"inBand" doc:"reps in the band"`
	Share         *Share           `json:"share,omitempty" doc:"share in the band"`
	NextInBand    *float64         `json:"nextInBand,omitempty" minimum:"0" maximum:"1" doc:"chance that the next one is in the band, from three reps on"`
	SpeedToAim    *SpeedRange      `json:"speedToAim,omitempty" doc:"readings that lie in the band"`
	ComeBackOn    *SpeedRange      `json:"comeBackOn,omitempty" doc:"when the mean is soft or too soft: how much can come back on"`
	StandardError *Speed           `json:"standardError,omitempty" doc:"standard uncertainty of the mean gap"`
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

// Removed says what a deletion took away.
type Removed struct {
	Bullpens int   `json:"bullpens"`
	Films    int   `json:"films"`
	Reps     int   `json:"reps"`
	Clips    int   `json:"clips"`
	Bytes    int64 `json:"bytes" doc:"bytes freed on disk"`
}
