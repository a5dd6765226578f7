package trust

import "slices"

// Guide is one line of published guidance on how much a youth pitcher throws.
type Guide struct {
	Ages string `json:"ages"`
	Game int    `json:"game,omitempty"` // pitches per game; 0: not said
	Day  int    `json:"day"`            // pitches per day
	// ThirdDay is pitches on the third day in a row; nil: not said.
	ThirdDay *int `json:"thirdDay,omitempty"`
	// Rest says how many days without pitching follow so many pitches; nil: not said.
	Rest   []Rest `json:"rest,omitempty"`
	Source string `json:"source"`
}

// Rest is days of rest after a day of at least so many pitches.
type Rest struct {
	From int `json:"from"`
	Days int `json:"days"`
}

// mostRest is more days of rest than any guide gives.
const mostRest = 7

// RestAfter returns the days of rest the guide gives after so many pitches; ok is
// false if it gives none.
func (g Guide) RestAfter(pitches int) (days int, ok bool) {
	for _, r := range g.Rest {
		if pitches >= r.From {
			days = r.Days
		}
	}
	return days, g.Rest != nil
}

// Where the figures come from.
const (
	// Softball per game and for ages 13-14 as pages of clubs quote them; the other
	// figures per day from memory. That most bodies have not adopted them: Boden,
	// Arner and Bradley, review in the International Journal of Sports Medicine.
	softballSource = "STOP Sports Injuries, American Orthopaedic Society for Sports Medicine: youth softball, full-speed warm-up included; the figures per day are from memory, but for ages 13 and 14. Most softball bodies have not adopted it; your league's rules come first."
	// The guidelines as m.mlb.com/pitchsmart had them; the edition bears no date there. As
	// pages of 2026 quote a later one, ages 17-18 rest three days from 61 to 80 pitches and
	// four from 81, and mlb.com/pitch-smart has a column of five days for ages 19-22. The
	// earlier figures ask for rest sooner, and stay.
	baseballSource = "Pitch Smart, Major League Baseball and USA Baseball: game pitches by age, in an edition without a date; a later one lets ages 17 and 18 throw 80 for three days of rest, where this has 75. Your league's rules come first."
)

// Softball lists the softball guidance by age.
func Softball() []Guide {
	third := func(n int) *int { return &n }
	return []Guide{
		{Ages: "8-10", Game: 50, Day: 80, ThirdDay: third(0), Source: softballSource},
		{Ages: "10-12", Game: 65, Day: 95, ThirdDay: third(0), Source: softballSource},
		{Ages: "13-14", Game: 80, Day: 115, ThirdDay: third(80), Source: softballSource},
		{Ages: "15 and up", Game: 100, Day: 140, ThirdDay: third(100), Source: softballSource},
	}
}

// Baseball lists the baseball guidance by age.
func Baseball() []Guide {
	young := []Rest{{1, 0}, {21, 1}, {36, 2}, {51, 3}, {66, 4}}
	older := []Rest{{1, 0}, {31, 1}, {46, 2}, {61, 3}, {76, 4}}
	return []Guide{
		{Ages: "7-8", Day: 50, Rest: young[:3], Source: baseballSource},
		{Ages: "9-10", Day: 75, Rest: young, Source: baseballSource},
		{Ages: "11-12", Day: 85, Rest: young, Source: baseballSource},
		{Ages: "13-14", Day: 95, Rest: young, Source: baseballSource},
		{Ages: "15-16", Day: 95, Rest: older, Source: baseballSource},
		{Ages: "17-18", Day: 105, Rest: older, Source: baseballSource},
		{Ages: "19-22", Day: 120, Rest: older, Source: baseballSource},
	}
}

// agesOf says which lines a level goes by. A level that spans two has both.
var agesOf = map[string][]string{
	"8U": {"8-10"}, "10U": {"8-10"}, "12U": {"10-12"}, "14U": {"13-14"}, "16U": {"15 and up"}, "18U": {"15 and up"}, "HS": {"15 and up"},
	"BB46": {"9-10", "11-12"}, "BB50": {"11-12", "13-14"}, "BB54": {"13-14"}, "BB60": {"15-16", "17-18"},
}

// GuidesFor returns the guidance for a level (a key of bullpen.Levels); none for
// grown-ups, for whom none is published.
func GuidesFor(level string) []Guide {
	all := Softball()
	if len(level) > 2 && level[:2] == "BB" {
		all = Baseball()
	}
	return slices.DeleteFunc(all, func(g Guide) bool { return !slices.Contains(agesOf[level], g.Ages) })
}
