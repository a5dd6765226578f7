package flight

import "math"

// Air is the weather a ball flies in. It is not asked for: 10 % of density moves
// a 43 ft time of flight by half a per cent. It is here to show that.
type Air struct {
	Celsius  float64
	Pascal   float64 // station pressure
	Humidity float64 // relative, 0..1
}

// Standard returns the dry air of the standard atmosphere at the given height in
// metres, 0..11000 (ISO 2533; US Standard Atmosphere 1976).
func Standard(height float64) Air {
	return Air{
		Celsius: 15 - 0.0065*height,
		Pascal:  101325 * math.Pow(1-2.25577e-5*height, 5.25588),
	}
}

// Density returns the air's density in kg/m³: the ideal gas law for dry air and
// vapour, with Tetens' formula (a = 7.5, b = 237.3) for the pressure of saturated
// vapour over water.
func (a Air) Density() float64 {
	const dry, vapour = 287.05, 461.495 // J/(kg K)
	kelvin := a.Celsius + 273.15
	pv := a.Humidity * 610.78 * math.Pow(10, 7.5*a.Celsius/(a.Celsius+237.3))
	return (a.Pascal-pv)/(dry*kelvin) + pv/(vapour*kelvin)
}
