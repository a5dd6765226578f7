package wire

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/tempo"
)

// Body is what a bullpen's marks and found instants tell about the body.
type Body struct {
	Checks []BodyCheck    `json:"checks" nullable:"false" doc:"the same-body check: one per pitch but the baseline, and per drill that has baseline pitches of its own"`
	Films  []FollowedFilm `json:"films" nullable:"false" doc:"what the last search for instants said of each film; none before the first search"`
	Eye    Eye            `json:"eye"`
	Found  int            `json:"found" doc:"instants surely found on reps that have no mark there: they can be accepted"`
	Marked bool           `json:"marked" doc:"a fastball has drive, plant, top and release marked, so that the others can be found"`
}

// FollowedFilm is what the last search for instants said of a film.
type FollowedFilm struct {
	FilmID  string `json:"filmId"`
	Refusal string `json:"refusal,omitempty" doc:"one sentence: why its reps were not followed, and what to do"`
	Warning string `json:"warning,omitempty" doc:"one sentence about the film that stands beside what was found"`
}

// Eye is how closely the instructor marks an instant again.
type Eye struct {
	Millis float64 `json:"millis" doc:"standard deviation of one mark that the uncertainties reckon with"`
	Known  bool    `json:"known" doc:"false: an assumption, until she has marked five reps again"`
	Marks  int     `json:"marks" doc:"marks it was measured on"`
	Day    string  `json:"day,omitempty" format:"date" doc:"when it was measured"`
}

// BodyCheck says whether the body slowed down on a pitch against the pitcher's own
// fastballs of the bullpen.
type BodyCheck struct {
	Pitch      bullpen.Pitch `json:"pitch"`
	PitchName  string        `json:"pitchName"`
	Drill      string        `json:"drill" doc:"empty: the full pitch"`
	Verdict    tempo.Verdict `json:"verdict"`
	Reason     tempo.Reason  `json:"reason" doc:"why it can't be told; empty when it can"`
	On         string        `json:"on,omitempty" doc:"of how many reps the verdict speaks where it is not all: on 2 of 8"`
	Slowed     []int         `json:"slowed" nullable:"false" doc:"orders of the reps that by themselves are shown to be slower than her own fastballs, by their legs"`
	SlowedArms []int         `json:"slowedArms" nullable:"false" doc:"likewise by the arm alone"`
	Others     tempo.Verdict `json:"others,omitempty" doc:"the verdict on the reps beside these, together; missing where none is named, or where the verdict speaks of all"`
	Sentence   string        `json:"sentence" doc:"the verdict in words; of can't tell, why; and of legs or an arm that look slower without being shown to be, how far that may be off"`
	Next       string        `json:"next,omitempty" doc:"what to do about a slow-down, or what would settle a can't tell, in words"`
	Notes      []string      `json:"notes" nullable:"false" doc:"sentences to be read with it: from behind, arm not judged, reps left out"`
	NoMoreThan *float64      `json:"noMoreThan,omitempty" doc:"the largest slow-down the film does not rule out, whole per cent of her fastballs' speed: 100 less the lower end as shown"`
	Fast       int           `json:"fast" doc:"fastballs with the legs timed"`
	Off        int           `json:"off" doc:"reps of the pitch with the legs timed"`
	MoreFast   int           `json:"moreFast" doc:"how many more fastballs would settle it, when more would"`
	MoreOff    int           `json:"moreOff" doc:"likewise of the pitch"`
	Legs       *Slowing      `json:"legs,omitempty" doc:"drive to plant; missing while there is nothing to compare"`
	Arm        *Slowing      `json:"arm,omitempty" doc:"top to release; missing where the arm is not judged"`
	Own        *PercentRange `json:"own,omitempty" doc:"between which body speeds one more of her own fastballs would lie 95 times of 100; missing with fewer than three"`
	View       bullpen.View  `json:"view" doc:"from where the compared reps were filmed"`
	FromBehind bool          `json:"fromBehind" doc:"the ranges are as wide as from behind"`
	LeftOut    int           `json:"leftOut" doc:"timed reps of the pitch that were filmed from elsewhere"`
	Split      *Split        `json:"split,omitempty" doc:"where the gap came from; missing on can't tell or without a gap"`
	Softest    string        `json:"softest,omitempty" doc:"one sentence: her softest ones are also those with the slowest legs; missing where that is not so"`
}

// PercentRange is a range of speeds in per cent of her fastballs'.
type PercentRange struct {
	Lo float64 `json:"lo"`
	Hi float64 `json:"hi"`
}

// Slowing compares the times on a pitch with those on her own fastballs; lo and hi
// hold 95 of 100.
type Slowing struct {
	Percent float64 `json:"percent" doc:"how much longer it took than on her fastballs, %; negative is faster"`
	Lo      float64 `json:"lo"`
	Hi      float64 `json:"hi"`
	Speed   float64 `json:"speed" doc:"the same as speed: per cent of her fastballs'"`
	SpeedLo float64 `json:"speedLo"`
	SpeedHi float64 `json:"speedHi"`
	Spread  float64 `json:"spread" doc:"standard deviation rep to rep, %"`
}

// Split says how much of the mean gap the body made and how much the hand, if ball
// speed followed the legs' speed: a rule of proportion, not a measurement.
type Split struct {
	Gap       Speed      `json:"gap" doc:"mean gap of the pitch"`
	Body      Speed      `json:"body"`
	BodyRange SpeedRange `json:"bodyRange" doc:"holds 95 of 100"`
	Hand      Speed      `json:"hand" doc:"gap - body"`
	HandRange SpeedRange `json:"handRange" doc:"holds 95 of 100"`
	BodyShare float64    `json:"bodyShare" minimum:"0" maximum:"100" doc:"per cent of the gap, for drawing: what lies outside is at the end"`
	Rest      string     `json:"rest" doc:"what hand stands for: grip and hand, or arm, grip and hand"`
	GapWords  string     `json:"gapWords" doc:"the gap in her unit, as it is said everywhere: 15.2 mph"`
	LegsWords string     `json:"legsWords" doc:"the legs' part: legs about 6 mph (5 to 8)"`
	RestWords string     `json:"restWords" doc:"the other part; both add up to the gap"`
	Rule      string     `json:"rule" doc:"by what rule it is divided, in plain words"`
	Sentence  string     `json:"sentence" doc:"the split in words, with the rule"`
}

// RepBody is what is known of one rep's body.
type RepBody struct {
	LegsSeconds *float64      `json:"legsSeconds,omitempty" doc:"drive to plant, real seconds"`
	ArmSeconds  *float64      `json:"armSeconds,omitempty" doc:"top to release, real seconds; never from hand marks at 30 or 60 frames a second"`
	LegsFrom    tempo.Source  `json:"legsFrom" doc:"where the legs' time comes from; empty without one"`
	ArmFrom     tempo.Source  `json:"armFrom" doc:"likewise of the arm"`
	Legs        *BodySpeed    `json:"legs,omitempty" doc:"body speed"`
	Arm         *BodySpeed    `json:"arm,omitempty" doc:"arm speed"`
	Verdict     tempo.Verdict `json:"verdict,omitempty" doc:"slowed body or slowed arm where this rep by itself is shown to be slower than her own fastballs; missing where that is not shown"`
	Told        tempo.Verdict `json:"told,omitempty" doc:"what the check of its pitch comes to for this rep: its own verdict, or what is said of the pitch's others together; missing for a rep that no check is about"`
	Words       string        `json:"words,omitempty" doc:"a short line: legs at 97 % of her fastball's speed"`
	Short       string        `json:"short,omitempty" doc:"the same in a table: legs 86 %: slowed"`
	Pending     string        `json:"pending,omitempty" doc:"one sentence: why there is no body speed, and what to do"`
}

// BodySpeed is a speed in per cent of her own fastballs of the same bullpen.
type BodySpeed struct {
	Percent float64 `json:"percent"`
	U       float64 `json:"u" doc:"standard uncertainty, percentage points"`
	Within  bool    `json:"within" doc:"inside the spread of her own fastballs (95 of 100)"`
}

// FoundInstants are the instants that were found in a rep, apart from its marks.
type FoundInstants struct {
	Drive   FoundInstant `json:"drive"`
	Plant   FoundInstant `json:"plant"`
	Top     FoundInstant `json:"top"`
	Release FoundInstant `json:"release"`
	Match   float64      `json:"match" doc:"how well the whole delivery fits her fastballs, -1 to 1"`
}

// FoundInstant is one instant that was found.
type FoundInstant struct {
	Frame    int     `json:"frame" doc:"frame index nearest to it"`
	Seconds  float64 `json:"seconds" doc:"real seconds from the film's first frame"`
	Match    float64 `json:"match" doc:"how well the picture of movement fits there, -1 to 1"`
	Within   int     `json:"within,omitempty" doc:"within how many frames of what the marks say it is found, 99 of 100 times: how far off the marks are comes on top; missing where it is not: it would be here, but mark it by hand"`
	Accepted *int    `json:"accepted,omitempty" doc:"at which frame it was made a mark; a mark that lies elsewhere was moved from there"`
}

// SeenInstants are the instants that her joints show; what they don't is missing.
type SeenInstants struct {
	Plant   *SeenInstant `json:"plant,omitempty"`
	Top     *SeenInstant `json:"top,omitempty"`
	Release *SeenInstant `json:"release,omitempty"`
}

// SeenInstant is one instant that her joints show: a second witness, and never sure by
// itself.
type SeenInstant struct {
	Frame  int            `json:"frame" doc:"frame index nearest to it"`
	Millis float64        `json:"millis" doc:"its standard uncertainty, milliseconds"`
	Beside posture.Beside `json:"beside" enum:",agrees,differs" doc:"how it stands to the mark, else to what was found: agrees within what both are unsure by, or differs by more than two frames; empty: neither, or there is nothing beside it"`
}

// AcceptInstants is a POST body: which reps' found instants become marks.
type AcceptInstants struct {
	RepIDs []string `json:"repIds,omitempty" nullable:"false" maxItems:"5000" doc:"all reps of the bullpen unless said"`
	FilmID string   `json:"filmId,omitempty" maxLength:"64" doc:"only those on this film"`
}

// Accepted answers what was accepted.
type Accepted struct {
	Reps     int   `json:"reps" doc:"reps that got marks"`
	Marks    int   `json:"marks" doc:"marks they got: a mark that was there is never changed"`
	Revision int64 `json:"revision" doc:"of the bullpen, this change included"`
}

// BodyOf returns the checks of a as the API says them.
func BodyOf(a tempo.Assessment) Body {
	out := Body{Checks: make([]BodyCheck, len(a.Checks)), Films: []FollowedFilm{}, Eye: Eye{Millis: a.EyeMillis, Known: a.EyeKnown}}
	for i, c := range a.Checks {
		out.Checks[i] = checkOf(c)
	}
	return out
}

func checkOf(c tempo.Check) BodyCheck {
	return BodyCheck{
		Pitch: c.Pitch, PitchName: c.PitchName, Drill: c.Drill, Verdict: c.Verdict, Reason: c.Reason,
		On: c.On, Slowed: append([]int{}, c.Slowed...), SlowedArms: append([]int{}, c.SlowedArms...), Others: c.Others,
		Sentence: c.Sentence, Next: c.Next, Notes: c.Notes, NoMoreThan: c.NoMoreThan,
		Fast: c.Fast, Off: c.Off, MoreFast: c.MoreFast, MoreOff: c.MoreOff,
		Legs: (*Slowing)(c.Legs), Arm: (*Slowing)(c.Arm), Own: (*PercentRange)(c.Own), View: c.View,
		FromBehind: c.View != bullpen.ViewSide && c.View != bullpen.ViewDiagonal, LeftOut: c.LeftOut, Split: splitOf(c.Split), Softest: c.Softest,
	}
}

func splitOf(s *tempo.Split) *Split {
	if s == nil {
		return nil
	}
	return &Split{
		Gap: SpeedOf(s.Gap), Body: SpeedOf(s.Body), Hand: SpeedOf(s.Hand),
		BodyRange: SpeedRange{SpeedOf(s.BodyLo), SpeedOf(s.BodyHi)}, HandRange: SpeedRange{SpeedOf(s.HandLo), SpeedOf(s.HandHi)},
		BodyShare: s.BodyShare, Rest: s.Rest, GapWords: s.GapWords, LegsWords: s.LegsWords, RestWords: s.RestWords, Rule: s.Rule, Sentence: s.Sentence,
	}
}

// RepBodyOf returns p as the API says it.
func RepBodyOf(p tempo.RepBody) *RepBody {
	return &RepBody{
		LegsSeconds: p.LegsSeconds, ArmSeconds: p.ArmSeconds, LegsFrom: p.LegsFrom, ArmFrom: p.ArmFrom,
		Legs: (*BodySpeed)(p.Legs), Arm: (*BodySpeed)(p.Arm), Verdict: p.Verdict, Told: p.Told, Words: p.Words, Short: p.Short, Pending: p.Pending,
	}
}
