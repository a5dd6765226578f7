package bullpen

// Policy says which reading the gap is counted from.
type Policy string

// The baseline policies.
const (
	MeanOf  Policy = "mean"    // mean of the baseline pitch, same drill, same gun place
	Hardest Policy = "hardest" // its hardest
	Last    Policy = "last"    // the last one thrown before the rep
	Typed   Policy = "typed"   // a number the instructor typed
)

// Pitcher is one student, and what the instructor set for her.
type Pitcher struct {
	ID    string
	Label string // a nickname or initials; full names are not asked for
	Hand  string // "right" or "left"
	Level string // a key of Levels
	// DistanceFeet is from the front of the rubber to the rear point of the plate.
	DistanceFeet float64
	// ExtensionFeet is how far in front of the rubber the ball is released.
	ExtensionFeet float64
	BallKind      string // "12 in", "11 in", "baseball"
	BaselinePitch Pitch
	Policy        Policy
	TypedBaseline Speed          // for Typed
	GunTolerance  Speed          // half-width of the gun's tolerance, default 1 mph, rectangular
	Bands         map[Pitch]Band // her own bands; a pitch without one uses its type's default
	Unit          Unit           // what pages and captions show
	Version       int64
}

// Bullpen is one practice session of one pitcher.
type Bullpen struct {
	ID        string
	PitcherID string
	Day       string // YYYY-MM-DD, where it was thrown
	Title     string
	Gun       GunPlace // the default for new readings
	Unit      Unit     // likewise
	Step      float64  // likewise: the display's step
	Note      string
	Version   int64
}
