package bullpen

// Unit names the unit a gun was set to.
type Unit string

// The two units guns show.
const (
	MPH Unit = "mph"
	KMH Unit = "km/h"
)

// KMHPerMPH converts exactly: the international mile is 1609.344 m
// (NIST SP 811, appendix B.8).
const KMHPerMPH = 1.609344

// Speed is a ball speed in miles per hour, whatever unit it was read in.
type Speed float64

// SpeedOf returns v, given in unit, as a Speed. An unknown unit is taken as mph.
func SpeedOf(v float64, unit Unit) Speed {
	if unit == KMH {
		return Speed(v / KMHPerMPH)
	}
	return Speed(v)
}

// In returns s in unit.
func (s Speed) In(unit Unit) float64 {
	if unit == KMH {
		return float64(s) * KMHPerMPH
	}
	return float64(s)
}

// metresPerSecondPerMPH is exact (NIST SP 811, appendix B.8).
const metresPerSecondPerMPH = 0.44704

// MetresPerSecond returns s in m/s; 1 mph is exactly 0.44704 m/s (NIST SP 811).
func (s Speed) MetresPerSecond() float64 { return float64(s) * metresPerSecondPerMPH }

// GunPlace says where the gun stood. Readings from different places are never
// mixed in one gap: a gun behind the pitcher sees the ball near release, one
// behind the catcher sees it late (common practice, no source).
type GunPlace string

// The places a gun stands in.
const (
	BehindCatcher GunPlace = "behind catcher"
	BehindPitcher GunPlace = "behind pitcher"
	BesidePitcher GunPlace = "beside pitcher"
	// PlaceNotSaid is of readings that somebody else took and nobody said from where:
	// they are not mixed with any other place's either.
	PlaceNotSaid GunPlace = "not said"
)

// GunPlaces are all places, in the order they are offered in.
var GunPlaces = []GunPlace{BehindCatcher, BehindPitcher, BesidePitcher, PlaceNotSaid}

// From says the place in a sentence: "behind the catcher", after "from".
func (g GunPlace) From() string {
	switch g {
	case BehindCatcher:
		return "behind the catcher"
	case BehindPitcher:
		return "behind the pitcher"
	case BesidePitcher:
		return "beside the pitcher"
	}
	return "a place nobody said"
}

// Reading is what the gun showed for one rep.
type Reading struct {
	Value float64  `json:"value"` // as shown, in Unit
	Unit  Unit     `json:"unit"`
	Step  float64  `json:"step"` // the display's step in Unit: 1, or 0.1
	Gun   GunPlace `json:"gun"`
}

// Speed returns the reading as a Speed.
func (r Reading) Speed() Speed { return SpeedOf(r.Value, r.Unit) }
