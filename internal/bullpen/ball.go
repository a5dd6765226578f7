package bullpen

import "math"

// SeaLevel is the density of dry air at 15 °C and 101 325 Pa, kg/m³ (ISO 2533,
// standard atmosphere).
const SeaLevel = 1.225

// BallKind is a kind of ball: the middle of what the rule books allow, and the drag
// coefficient tenoff assumes for it.
type BallKind struct {
	Name   string  // as Pitcher.BallKind and Level.BallKind have it
	Inches float64 // circumference
	Ounces float64 // weight
	// Cd is the drag coefficient. No measurement for a softball at 40..75 mph is
	// at hand; 0.33 (0.28 to 0.40) is commonly quoted (from memory). From 0.25 to 0.50 a 65 mph
	// pitch over 37 ft changes by 14 ms in 0.4 s, and a gap by as little.
	Cd float64
}

// BallKinds lists the kinds. Softball 12 in: 11 7/8 to 12 1/8 in, 6 1/4 to 7 oz;
// 11 in: 10 7/8 to 11 1/8 in, 5 7/8 to 6 1/8 oz (softball rule books, from memory).
// Baseball: 9 to 9 1/4 in, 5 to 5 1/4 oz (Official Baseball Rules 3.01, from
// memory), Cd 0.35 at 95 mph (from memory).
var BallKinds = []BallKind{
	{Name: "12 in", Inches: 12, Ounces: 6.625, Cd: 0.33},
	{Name: "11 in", Inches: 11, Ounces: 6, Cd: 0.33},
	{Name: "baseball", Inches: 9.125, Ounces: 5.125, Cd: 0.35},
}

// BallKindOf returns the kind of ball with the given name.
func BallKindOf(name string) (BallKind, bool) {
	for _, b := range BallKinds {
		if b.Name == name {
			return b, true
		}
	}
	return BallKind{}, false
}

// Drag returns k = density Cd A / (2 m) in 1/m, so that the ball loses k of its
// speed with every metre; density is the air's in kg/m³. 0 for no ball.
func (b BallKind) Drag(density float64) float64 {
	const metresPerInch, kilogramsPerOunce = 0.0254, 0.028349523125 // exact (NIST SP 811)
	if b.Ounces <= 0 {
		return 0
	}
	d := b.Inches * metresPerInch / math.Pi
	return density * b.Cd * (math.Pi * d * d / 4) / (2 * b.Ounces * kilogramsPerOunce)
}
