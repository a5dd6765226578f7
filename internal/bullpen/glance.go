package bullpen

// Glance is what a bullpen tells at a glance, for a list: its headline, and the target of
// the pitch that the headline is about. Speeds are in Unit.
type Glance struct {
	Headline  string      `json:"headline,omitempty"` // "" while there is nothing to say
	PitchName string      `json:"pitchName,omitempty"`
	Drill     string      `json:"drill,omitempty"`
	Unit      Unit        `json:"unit,omitempty"`
	Band      *Band       `json:"band,omitempty"`     // in Unit; nil: no gap was judged, and there are no shots
	Own       *[2]float64 `json:"own,omitempty"`      // from and to, per cent: the spread of her own fastballs' body speed
	Mean      *float64    `json:"mean,omitempty"`     // mean gap, in Unit
	Gun       GunPlace    `json:"gun,omitempty"`      // where it was read from
	Shots     []Shot      `json:"shots,omitempty"`    // the pitch's reps as thrown, at most MostShots, warm-ups left out
	Asked     int         `json:"asked,omitempty"`    // readings that are asked about
	StillRep  string      `json:"stillRep,omitempty"` // ID of the rep whose release stands for the bullpen, "" without film
}

// Shot is one rep on a target.
type Shot struct {
	Gap  *float64 `json:"gap,omitempty"`  // under the baseline, in the glance's unit
	Body *float64 `json:"body,omitempty"` // the legs' speed, per cent of her own fastballs'
	Well bool     `json:"well,omitempty"` // its Fill is Full
	Half bool     `json:"half,omitempty"` // its Fill is Half
}

// Fill is how a rep's shape is filled on a target.
type Fill string

const (
	Full  Fill = "full"  // in the band, and the same body, or its body was not filmed
	Half  Fill = "half"  // in the band and on film, and of its body the film can't tell
	Empty Fill = "empty" // not in the band, or its body slowed
)

// MostShots is the most that a glance shows; of a longer bullpen the last ones.
const MostShots = 24
