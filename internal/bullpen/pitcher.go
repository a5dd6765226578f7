package bullpen

// Policy says which reading the gap is counted from.
type Policy string

// The baseline policies.
const (
	MeanOf  Policy = "mean"    // mean of the baseline pitch, same drill, same gun place
	Hardest Policy = "hardest" // its hardest
	Last    Policy = "last"    // the last one thrown before the rep
	Typed   Policy = "typed"   // a number the instructor typed, for full pitches; drills go by their mean
)

// Pitcher is one student, and what the instructor set for her.
type Pitcher struct {
	ID    string
	Label string // a nickname or initials; full names are not asked for
	Hand  string // "right" or "left"
	Level string // a key of Levels
	// DistanceFeet is from the front of the rubber to the rear point of the plate.
	DistanceFeet float64
	// ExtensionFeet is how far in front of the rubber she releases the ball, where that is
	// known of herself; nil: as her level does, see Extension.
	ExtensionFeet *float64
	// LevelExtensionFeet is her level's; like LevelBands it goes with Level.
	LevelExtensionFeet float64
	BallKind           string // "12 in", "11 in", "baseball"
	BaselinePitch      Pitch
	Policy             Policy
	TypedBaseline      Speed          // for Typed
	TypedGun           GunPlace       // where TypedBaseline was read from; "" if nobody said
	TypedWithin        *Speed         // its standard uncertainty, mph; nil: UsualTypedWithin
	GunTolerance       Speed          // half-width of the gun's tolerance, default 1 mph, rectangular
	Bands              map[Pitch]Band // her own bands, in any unit
	LevelBands         map[Pitch]Band // her level's; they go with Level and are never hers to keep
	Unit               Unit           // what pages and captions show
	Language           string         // what her captions, links and reports are written in, as a BCP 47 tag
	Version            int64
}

// NewPitcher returns a pitcher of the level with everything else at its default.
func NewPitcher(label string, level Level) Pitcher {
	return Pitcher{
		Label: label, Hand: "right",
		BaselinePitch: Fastball, Policy: MeanOf, GunTolerance: DefaultGunTolerance, Unit: MPH, Language: "en",
	}.At(level)
}

// UsualTypedWithin is the standard uncertainty of a typed baseline where nobody said one,
// mph: a number of another day is no closer (working value).
const UsualTypedWithin Speed = 1

// typed returns the typed baseline. What the gun of that day read too high or too low does
// not cancel in a gap under it: a rectangle of the tolerance (JCGM 100:2008, 4.3.7).
func (p Pitcher) typed() typed {
	within := UsualTypedWithin
	if p.TypedWithin != nil {
		within = *p.TypedWithin
	}
	tolerance := p.tolerance()
	return typed{speed: p.TypedBaseline, gun: p.TypedGun, variance: float64(within*within + tolerance*tolerance/3)}
}

// At returns p at the level, with its distance, extension, ball and bands. Her own
// extension and bands stay.
func (p Pitcher) At(level Level) Pitcher {
	p.Level, p.LevelBands, p.LevelExtensionFeet = level.Key, level.Bands, level.ExtensionFeet
	p.DistanceFeet, p.BallKind = level.DistanceFeet, level.BallKind
	return p
}

// Extension returns how far in front of the rubber the ball is released, feet: her own,
// or else her level's.
func (p Pitcher) Extension() float64 {
	if p.ExtensionFeet != nil {
		return *p.ExtensionFeet
	}
	return p.LevelExtensionFeet
}

// BandOf returns the pitch's band: her own, or else what she goes by without one; ok
// is false for a pitch that has none.
func (p Pitcher) BandOf(pitch Pitch) (band Band, ok bool) {
	if band, ok = p.Bands[pitch]; ok {
		return band, true
	}
	return p.UsualBand(pitch)
}

// UsualBand returns what p goes by where she has no band of her own: her level's, or
// else the type's default; ok is false for a pitch that has none.
func (p Pitcher) UsualBand(pitch Pitch) (band Band, ok bool) {
	if band, ok = p.LevelBands[pitch]; ok {
		return band, true
	}
	if t, known := TypeOf(pitch); known && t.Band != nil {
		return *t.Band, true
	}
	return Band{}, false
}

// Bullpen is one practice session of one pitcher.
type Bullpen struct {
	ID        string
	PitcherID string
	Day       string // YYYY-MM-DD, where it was thrown
	Title     string
	Gun       GunPlace // the default for new readings
	GunName   string   // which gun it was, where she has several; "" for the one
	Unit      Unit     // likewise
	Step      float64  // likewise: the display's step
	Note      string
	Begun     int64 // microseconds UTC, when it was entered: bullpens of one day follow each other by it
	Version   int64
	// Usual is the mean speed of her full pitch in the bullpens before, mph; 0 where it
	// is not known. It is found, not stored, and only readings are asked about by it.
	Usual Speed
	// Spreads are those of her bullpens of earlier days that were read from the same place
	// by the same gun, pooled; found likewise. A pitch without one goes by a working value.
	Spreads Spreads
	// Against is what this bullpen's films say against its readings, by rep; found likewise.
	Against map[string]FilmSays
}
