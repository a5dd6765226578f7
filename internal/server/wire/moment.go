package wire

import "tenoff/internal/bullpen"

// Length is one length in both units, so that nobody else converts.
type Length struct {
	Feet   float64 `json:"feet"`
	Metres float64 `json:"metres"`
}

// LengthOf returns so many metres in both units.
func LengthOf(metres float64) Length { return Length{Feet: metres / 0.3048, Metres: metres} }

// Moment is why a gap works: fastball and off-speed pitch let go together, at the moment
// when the batter must decide and when her swing for the fastball is there.
type Moment struct {
	Baseline    bullpen.Pitch `json:"baseline" doc:"what the fastball was thrown as: her baseline pitch"`
	Way         Length        `json:"way" doc:"from release to the plate"`
	Fast        Speed         `json:"fast" doc:"of the fastball"`
	Slow        Speed         `json:"slow" doc:"of the ball that comes as late as hers do on average"`
	Decide      Instant       `json:"decide" doc:"the last moment to make up one's mind to hit the fastball"`
	Swing       Instant       `json:"swing" doc:"that swing is at the plate, and so is the fastball"`
	EarlyMillis float64       `json:"earlyMillis" exclusiveMinimum:"0" doc:"how much too early that swing is for the off-speed pitch; a batter who saw beforehand waits so long"`
	Times       float64       `json:"times" doc:"the same over how far off a swing may be and still meet the ball"`
	Track       []Instant     `json:"track" nullable:"false" doc:"from release until both are at the plate"`
}

// Instant is where the two balls of a Moment are.
type Instant struct {
	Seconds float64 `json:"seconds" doc:"since release"`
	Fast    float64 `json:"fast" minimum:"0" maximum:"1" doc:"share of its way that the fastball has come"`
	Slow    float64 `json:"slow" minimum:"0" maximum:"1"`
	Behind  Length  `json:"behind" doc:"how far the off-speed pitch is behind the fastball"`
}

// MomentOf returns m as the API says it, nil for nil.
func MomentOf(m *bullpen.Moment) *Moment {
	if m == nil {
		return nil
	}
	at := func(i bullpen.Instant) Instant {
		return Instant{Seconds: i.Seconds, Fast: 1 - i.Fast/m.Metres, Slow: 1 - i.Slow/m.Metres, Behind: LengthOf(i.Behind())}
	}
	out := &Moment{
		Baseline: m.Baseline, Way: LengthOf(m.Metres), Fast: SpeedOf(m.Fast), Slow: SpeedOf(m.Slow), Decide: at(m.Decide), Swing: at(m.Swing),
		EarlyMillis: m.Early, Times: m.Times, Track: make([]Instant, len(m.Track)),
	}
	for i, t := range m.Track {
		out.Track[i] = at(t)
	}
	return out
}
