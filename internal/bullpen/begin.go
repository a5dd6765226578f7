package bullpen

// UsualLevel is a new pitcher's level when nobody says one.
const UsualLevel = "14U"

// Begin returns a new bullpen of p, thrown on day (YYYY-MM-DD), with the usual
// defaults for its readings: in her unit, to the whole number. Where the gun stands
// is left open: where it stood the last time is known when the bullpen is stored.
func (p Pitcher) Begin(day string) Bullpen {
	unit := p.Unit
	if unit == "" {
		unit = MPH
	}
	return Bullpen{PitcherID: p.ID, Day: day, Unit: unit, Step: 1}
}
