package bullpen

import "tenoff/internal/evidence"

// Sheet is every number that follows from a bullpen's readings and marks. Pages,
// captions, exports and the command line all show these and compute none.
type Sheet struct {
	Reps      []RepNumbers `json:"reps"`      // one for each rep given to Judge, in the same order
	Summaries []Summary    `json:"summaries"` // per pitch, drill and gun place, in order of their first rep
}

// Rep returns the numbers of the rep with the given ID.
func (s Sheet) Rep(id string) (RepNumbers, bool) {
	for _, r := range s.Reps {
		if r.RepID == id {
			return r, true
		}
	}
	return RepNumbers{}, false
}

// RepNumbers is what follows from one rep. What can't be known is left out, and
// Pending says why there is no verdict.
type RepNumbers struct {
	RepID    string    `json:"repId"`
	Speed    *Speed    `json:"speed,omitempty"`    // the reading, mph
	Baseline *Baseline `json:"baseline,omitempty"` // what the gap is counted from
	Gap      *Gap      `json:"gap,omitempty"`      // baseline - reading, in four units
	// Uncertainty is the standard uncertainty of the gap, mph: that of the baseline, the
	// display's rounding and the gun's gain.
	Uncertainty *Speed  `json:"uncertainty,omitempty"`
	Verdict     Verdict `json:"verdict"`
	// OnEdge says that the verdict is less than nineteen in twenty sure, or that the gap, rounded
	// as it is shown, has another. The verdict stays what it is.
	OnEdge  bool    `json:"onEdge"`
	EdgeOf  Verdict `json:"edgeOf,omitempty"`  // on an edge: the verdict beyond it
	SoFar   bool    `json:"soFar,omitempty"`   // it hangs on fewer than five reps of the baseline pitch
	Said    string  `json:"said,omitempty"`    // the verdict in words, with its edge and its few reps
	Pending string  `json:"pending,omitempty"` // one sentence: why there is no verdict, and what to do

	// Band is where readings lie in the band under this rep's baseline, mph, for the
	// picture: no advice, which one rep is never the ground of.
	Band       *Range   `json:"band,omitempty"`
	Doubt      string   `json:"doubt,omitempty"`      // one sentence that asks whether the reading is right; until it is settled, nothing counts it
	Meant      *Reading `json:"meant,omitempty"`      // what was read, if the slip that Doubt names was made
	MeantPitch Pitch    `json:"meantPitch,omitempty"` // what was thrown, if Doubt names another pitch
	// Legs and Arm are real seconds between hand marks on the film's clock: drive
	// to plant, and top to release.
	Legs *float64 `json:"legs,omitempty"`
	Arm  *float64 `json:"arm,omitempty"`
}

// Baseline is the speed that gaps are counted from.
type Baseline struct {
	Speed  Speed  `json:"speed"` // mph
	Policy Policy `json:"policy"`
	Pitch  Pitch  `json:"pitch"`           // whose speed it is
	N      int    `json:"n"`               // readings it rests on, of the hardest those it is the hardest of; 0 for a typed one
	SD     *Speed `json:"sd,omitempty"`    // their spread, mph, from two on
	RepID  string `json:"repId,omitempty"` // the one rep it is, for the hardest and the last

	level evidence.Estimate // what is known of it, mph
}

// Gap is how far a reading lies under its baseline.
type Gap struct {
	MPH     Speed    `json:"mph"`              // baseline - reading
	KMH     float64  `json:"kmh"`              // the same, km/h
	Percent float64  `json:"percent"`          // the reading as per cent of the baseline
	Millis  *float64 `json:"millis,omitempty"` // later at the plate, ms; missing without a pitching distance
}

// Range is a range of speeds or of differences of speeds, mph, Lo <= Hi.
type Range struct {
	Lo Speed `json:"lo"`
	Hi Speed `json:"hi"`
}

// Summary is one pitch in one drill, read from one place. Warm-up reps are left
// out of all of it.
type Summary struct {
	Pitch     Pitch     `json:"pitch"`
	PitchName string    `json:"pitchName"`
	Drill     string    `json:"drill"` // "" is the full pitch
	Gun       GunPlace  `json:"gun"`
	N         int       `json:"n"`                  // reps with a reading
	Mean      Speed     `json:"mean"`               // of the readings, mph
	SD        *Speed    `json:"sd,omitempty"`       // n-1 in the divisor, mph, from two on
	Range     Range     `json:"range"`              // softest and hardest reading, mph
	Baseline  *Baseline `json:"baseline,omitempty"` // what the next rep's gap will be counted from
	// BaselineSaid says of the hardest and the last what they do to the gap.
	BaselineSaid string `json:"baselineSaid,omitempty"`
	// Asked counts the readings that are asked about and so left out of every number here;
	// AskedSaid says so in one sentence.
	Asked     int    `json:"asked,omitempty"`
	AskedSaid string `json:"askedSaid,omitempty"`
	Pending   string `json:"pending,omitempty"` // one sentence: why there are no verdicts, and what to do

	MeanGap *Gap   `json:"meanGap,omitempty"` // mean of the gaps in each unit
	SDGap   *Speed `json:"sdGap,omitempty"`   // spread of the gaps, mph, from two on
	// From is what the gaps were counted from, on average, mph: where she got faster or
	// slower while she threw, Baseline is that of the next rep and differs.
	From *Speed `json:"from,omitempty"`
	// StandardError is the standard uncertainty of the mean gap, mph: wide for few reps,
	// and for one pitch thrown after the other.
	StandardError *Speed  `json:"standardError,omitempty"`
	Verdict       Verdict `json:"verdict"`            // on the mean gap
	OnEdge        bool    `json:"onEdge"`             // it is less than nineteen in twenty sure
	SoFar         bool    `json:"soFar,omitempty"`    // it hangs on fewer than five reps, or too few for how far hers differ
	Said          string  `json:"said,omitempty"`     // the verdict in words, with its edge and its few reps
	EdgeOf        Verdict `json:"edgeOf,omitempty"`   // on an edge: the verdict beyond it
	EdgeSaid      string  `json:"edgeSaid,omitempty"` // and in one sentence which edge that is
	// Drift says that she got faster or slower while she threw, where that shows or moves
	// the gap; Mix, what to do next time where the order thrown leaves the gap open.
	Drift string `json:"drift,omitempty"`
	Mix   string `json:"mix,omitempty"`

	Band  *Band  `json:"band,omitempty"`  // as set
	Bands []Band `json:"bands,omitempty"` // the same band in every unit under Baseline

	// Moment is what the mean gap does to a batter; nil where the pitch is no slower, or
	// the pitching distance is not known.
	Moment *Moment `json:"moment,omitempty"`

	Judged int    `json:"judged"` // reps with a verdict
	InBand int    `json:"inBand"` // those in the band
	Share  *Share `json:"share,omitempty"`

	// NextInBand is the chance that the next one reads in the band; ChancePending
	// says in one sentence why it is missing.
	NextInBand    *float64 `json:"nextInBand,omitempty"`
	ChancePending string   `json:"chancePending,omitempty"`

	// Aim and what can come back on are advice, and missing below three reps of either pitch.
	Aim        *Range `json:"aim,omitempty"`        // readings that lie in the band, mph
	ComeBackOn *Range `json:"comeBackOn,omitempty"` // mean gap above the band: how much can come back on, mph
	// The same two in whole numbers of her unit, as Range.MiddleFirst writes them.
	AimSaid        string `json:"aimSaid,omitempty"`
	ComeBackOnSaid string `json:"comeBackOnSaid,omitempty"`
}

// Share is a share of reps with the 95 % interval of Wilson's score.
type Share struct {
	Value float64 `json:"value"`
	Lo    float64 `json:"lo"`
	Hi    float64 `json:"hi"`
}
