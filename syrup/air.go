package syrup

import "math"

// Standard atmosphere up to 11 km, ISO 2533:1975: 15 °C at sea level, falling
// by 6.5 K per km; exponent g0/(R·L) = 9.80665/(287.05287·0.0065).
const (
	lapsePerM    = 0.0065 / 288.15
	airExponent  = 9.80665 / (287.05287 * 0.0065)
	highestAirM  = 11000.0
	deepestAirM  = -5000.0
	lowestAirPa  = 22632.0 // at 11 km
	highestAirPa = 177687.0
)

// Pressure returns the standard atmosphere's pressure in Pa at a geopotential
// altitude in m (ISO 2533:1975, −5000 to 11 000 m; NaN outside). Geometric
// altitude may be given instead: the difference is 13 Pa at 3000 m. Weather
// moves the true pressure by ±3 kPa, as much as 300 m.
func Pressure(altitudeM float64) (pPa float64) {
	if !(altitudeM >= deepestAirM && altitudeM <= highestAirM) {
		return math.NaN()
	}
	return StandardPressure * math.Pow(1-lapsePerM*altitudeM, airExponent)
}

// Altitude returns the geopotential altitude in m at which the standard
// atmosphere has the pressure pPa; the inverse of [Pressure], NaN outside it.
func Altitude(pPa float64) (m float64) {
	if !(pPa >= lowestAirPa && pPa <= highestAirPa) {
		return math.NaN()
	}
	return (1 - math.Pow(pPa/StandardPressure, 1/airExponent)) / lapsePerM
}
