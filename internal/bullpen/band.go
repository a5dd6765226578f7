package bullpen

// BandUnit is the unit a band is written in.
type BandUnit string

// The four units of a band.
const (
	InMPH     BandUnit = "mph"           // miles per hour under the baseline
	InKMH     BandUnit = "km/h"          // kilometres per hour under the baseline
	InPercent BandUnit = "% of fastball" // the reading as per cent of the baseline: Lo is the firm end, so Lo > Hi
	InMillis  BandUnit = "ms at plate"   // milliseconds later at the plate
)

// Band is the target for a pitch's gap under the baseline: Lo <= gap <= Hi is in
// the band, Limit and beyond is too soft. Lo is always the firm end (nearest the
// fastball); in per cent of the fastball the numbers therefore fall from Lo to Limit.
type Band struct {
	Unit  BandUnit `json:"unit"`
	Lo    float64  `json:"lo"`
	Hi    float64  `json:"hi"`
	Limit float64  `json:"limit"`
}
