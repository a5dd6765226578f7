package bullpen

import "math"

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

// BandUnits lists the units a band can be written in, in the order pages show them.
var BandUnits = []BandUnit{InMPH, InKMH, InPercent, InMillis}

// Check returns an *Error of code Invalid that says what is wrong with the band,
// or nil.
func (b Band) Check() error {
	rising := b.Lo < b.Hi && b.Hi <= b.Limit
	switch b.Unit {
	case InMPH, InKMH, InMillis:
		if rising && b.Lo > -1e4 && b.Limit < 1e4 {
			return nil
		}
		return Errorf(Invalid, "A band from %v to %v, too soft from %v %s makes no sense: write the smallest gap first, then the largest, then where it is too soft.",
			b.Lo, b.Hi, b.Limit, b.Unit)
	case InPercent:
		if b.Lo > b.Hi && b.Hi >= b.Limit && b.Limit > 0 && b.Lo <= 200 {
			return nil
		}
		return Errorf(Invalid, "A band from %v to %v, too soft from %v %s makes no sense: write the firm end first, as 85, 78 and 73 do.",
			b.Lo, b.Hi, b.Limit, b.Unit)
	}
	return Errorf(Invalid, "A band can't be written in %q: use one of %s, %s, %s and %s.", b.Unit, InMPH, InKMH, InPercent, InMillis)
}

// exact takes off what binary arithmetic leaves behind a decimal figure, so that a
// gap of 8 is 8 in either unit: everything is compared to 1e-9.
func exact(x float64) float64 { return math.Round(x*1e9) / 1e9 }

// Verdict returns where the gap lies: both ends belong to the band, the limit to
// too soft. Pending if the band is in milliseconds and the gap has none.
func (b Band) Verdict(g Gap) Verdict {
	value, lo, hi, limit := float64(g.MPH), b.Lo, b.Hi, b.Limit
	switch b.Unit {
	case InKMH:
		value = g.KMH
	case InPercent: // falls as the gap grows
		value, lo, hi, limit = -g.Percent, -b.Lo, -b.Hi, -b.Limit
	case InMillis:
		if g.Millis == nil {
			return Pending
		}
		value = *g.Millis
	}
	value = exact(value)
	switch {
	case value < exact(lo):
		return TooFirm
	case value <= exact(hi):
		return InBand
	case value < exact(limit):
		return Soft
	}
	return TooSoft
}

// Edges are a band's lo, hi and limit as gaps in mph under one baseline, rising.
type Edges struct{ Lo, Hi, Limit Speed }

// Under returns the band's edges as gaps under the baseline, > 0, on the way; ok is
// false if an edge has no speed there (milliseconds without a way).
func (b Band) Under(baseline Speed, way Way) (e Edges, ok bool) {
	lo, okLo := gapOf(b.Lo, b.Unit, baseline, way)
	hi, okHi := gapOf(b.Hi, b.Unit, baseline, way)
	limit, okLimit := gapOf(b.Limit, b.Unit, baseline, way)
	return Edges{lo, hi, limit}, okLo && okHi && okLimit
}

// In returns the same band in another unit, as it is under the given baseline; ok
// is false if it can't be said there, as a ball that never arrives in milliseconds.
func (b Band) In(unit BandUnit, baseline Speed, way Way) (in Band, ok bool) {
	if unit == b.Unit {
		return b, true
	}
	e, ok := b.Under(baseline, way)
	if !ok {
		return Band{}, false
	}
	in.Unit = unit
	for _, edge := range []struct {
		to  *float64
		gap Speed
	}{{&in.Lo, e.Lo}, {&in.Hi, e.Hi}, {&in.Limit, e.Limit}} {
		if *edge.to, ok = edge.gap.as(unit, baseline, way); !ok {
			return Band{}, false
		}
	}
	return in, true
}

// All returns the band in every unit it can be said in under the baseline.
func (b Band) All(baseline Speed, way Way) []Band {
	var all []Band
	for _, unit := range BandUnits {
		if in, ok := b.In(unit, baseline, way); ok {
			all = append(all, in)
		}
	}
	return all
}

// gapOf turns x, in unit, into a gap in mph under the baseline.
func gapOf(x float64, unit BandUnit, baseline Speed, way Way) (Speed, bool) {
	switch unit {
	case InKMH:
		return SpeedOf(x, KMH), true
	case InPercent:
		return baseline * Speed(1-x/100), true
	case InMillis:
		seconds := way.Seconds(baseline) + x/1000
		if way.Metres <= 0 || seconds <= 0 {
			return 0, false
		}
		return baseline - way.Release(seconds), true
	}
	return Speed(x), true
}

// as turns a gap in mph under the baseline into unit.
func (s Speed) as(unit BandUnit, baseline Speed, way Way) (float64, bool) {
	switch unit {
	case InKMH:
		return s.In(KMH), true
	case InPercent:
		return 100 * float64(1-s/baseline), true
	case InMillis:
		slow := baseline - s
		if way.Metres <= 0 || slow < slowest {
			return 0, false
		}
		return way.Later(baseline, slow), true
	}
	return float64(s), true
}
