package demo

import "tenoff/internal/bullpen"

// Truth is what really happened in a bullpen.
type Truth struct {
	Clock bullpen.Clock // as the film's container must show it; Slow as filmed
	Reps  []RepTruth    // in order
	// Decoys are what must not be taken for a rep or its pop, in order.
	Decoys []Decoy

	DistanceFeet  float64 // front of the rubber to rear point of the plate
	ExtensionFeet float64 // front of the rubber to the point of release, mean over the reps
	GloveMetres   float64 // how far behind the rear point of the plate balls are caught, mean
	PhoneMetres   float64 // from the glove to the phone's ear, mean
	Gun           bullpen.GunPlace
	View          bullpen.View
	Hand          string // "right" or "left"
}

// Instant is a moment of a film.
type Instant struct {
	Seconds float64 // real seconds after the first frame's capture
	Frame   int     // the frame whose picture is nearest to it
}

// RepTruth is one pitch as it really was.
type RepTruth struct {
	RepSpec
	Drive, Plant, Top, Release Instant

	Reading bullpen.Reading // what the gun showed
	// Metres is the horizontal way from release to glove, Flight the seconds
	// it took (package flight's drag model).
	Metres float64
	Flight float64
	// Pop is the real second at which the sound of the catch starts in the
	// sound track: release + flight + glove to phone at 343 m/s + Sound.Late.
	// Popped is false where nothing pops (net, missed, sound off).
	Pop    float64
	Popped bool

	// LegsStretch and ArmStretch are what was set: 1, or the spec's Stretch.
	// Legs and Arm differ from rep to rep besides, as bodies do.
	LegsStretch, ArmStretch float64
}

// Legs returns the true seconds from drive to plant.
func (r RepTruth) Legs() float64 { return r.Plant.Seconds - r.Drive.Seconds }

// Arm returns the true seconds from top to release.
func (r RepTruth) Arm() float64 { return r.Release.Seconds - r.Top.Seconds }

// Decoy is something that looks or sounds like a rep but is none.
type Decoy struct {
	// Kind is "mimic", "neighbour" (a delivery, at its release), "passer-by" (half
	// way), or of the sound "other pop", "return" (the ball thrown back, in her
	// glove) and "fence" (each at its start in the sound track).
	Kind string
	Instant
}

// Rep returns r as the instructor would have logged it, marks on the nearest
// frames of the given film.
func (r RepTruth) Rep(filmID string) bullpen.Rep {
	reading := r.Reading
	return bullpen.Rep{
		FilmID: filmID, Drive: r.Drive.Frame, Plant: r.Plant.Frame, Top: r.Top.Frame, Release: r.Release.Frame,
		Pitch: r.Pitch, Reading: &reading, Drill: r.Drill, Set: r.Set, Number: r.Number, Call: r.Call,
	}
}
