package wire

import "tenoff/internal/bullpen"

// Speed is one speed, or difference of speeds, in both units, so that nobody
// else converts.
type Speed struct {
	MPH float64 `json:"mph" doc:"miles per hour"`
	KMH float64 `json:"kmh" doc:"kilometres per hour"`
}

// SpeedOf returns s in both units.
func SpeedOf(s bullpen.Speed) Speed {
	return Speed{MPH: float64(s), KMH: s.In(bullpen.KMH)}
}

// Reading is what the gun showed for one rep.
type Reading struct {
	Value float64          `json:"value" exclusiveMinimum:"0" maximum:"250" doc:"as the gun showed it, in unit"`
	Unit  bullpen.Unit     `json:"unit"`
	Step  float64          `json:"step" exclusiveMinimum:"0" maximum:"1" doc:"the display's step in unit: 1, or 0.1"`
	Gun   bullpen.GunPlace `json:"gun"`
}

// Band is the target for a pitch's gap under the baseline: lo to hi is in the
// band, limit and beyond is too soft. Lo is the firm end, so in per cent of the
// fastball the numbers fall from lo to limit.
type Band struct {
	Unit  bullpen.BandUnit `json:"unit"`
	Lo    float64          `json:"lo" doc:"the firm end, in unit"`
	Hi    float64          `json:"hi" doc:"the soft end, in unit"`
	Limit float64          `json:"limit" doc:"too soft from here on, in unit"`
}

func speedOf(s *bullpen.Speed) *Speed {
	if s == nil {
		return nil
	}
	both := SpeedOf(*s)
	return &both
}

func rangeOf(r *bullpen.Range) *SpeedRange {
	if r == nil {
		return nil
	}
	return &SpeedRange{Lo: SpeedOf(r.Lo), Hi: SpeedOf(r.Hi)}
}

func readingOf(r *bullpen.Reading) *Reading { return (*Reading)(r) }

func bandsOf(bands map[bullpen.Pitch]bullpen.Band) map[bullpen.Pitch]Band {
	out := make(map[bullpen.Pitch]Band, len(bands))
	for pitch, b := range bands {
		out[pitch] = Band(b)
	}
	return out
}

func bands(sent map[bullpen.Pitch]Band) map[bullpen.Pitch]bullpen.Band {
	out := make(map[bullpen.Pitch]bullpen.Band, len(sent))
	for pitch, b := range sent {
		out[pitch] = bullpen.Band(b)
	}
	return out
}

// set writes *sent, when something was sent, to *field.
func set[T any](field *T, sent *T) {
	if sent != nil {
		*field = *sent
	}
}
