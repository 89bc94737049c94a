package syrup

import "math"

// StandardPressure is the standard atmosphere in Pa (exact by definition).
const StandardPressure = 101325.0

const zeroC = 273.15 // K

// Coefficients of the saturation line: IAPWS R7-97(2012), Table 34.
const (
	n1  = 0.11670521452767e4
	n2  = -0.72421316703206e6
	n3  = -0.17073846940092e2
	n4  = 0.12020824702470e5
	n5  = -0.32325550322333e7
	n6  = 0.14915108613530e2
	n7  = -0.48232657361591e4
	n8  = 0.40511340542057e6
	n9  = -0.23855557567849
	n10 = 0.65017534844798e3
)

// WaterBoils returns the temperature in °C at which pure water boils at pPa
// (IAPWS-IF97 equation 31; 0.02–374 °C, pressures from 611.2 Pa to 22.064 MPa).
// It gives 99.974 °C at [StandardPressure], not 100. Outside the range it is
// NaN.
func WaterBoils(pPa float64) (tC float64) {
	if !(pPa >= 611.2 && pPa <= 22.064e6) {
		return math.NaN()
	}
	b := math.Sqrt(math.Sqrt(pPa * 1e-6))
	e := b*b + n3*b + n6
	f := n1*b*b + n4*b + n7
	g := n2*b*b + n5*b + n8
	d := 2 * g / (-f - math.Sqrt(f*f-4*e*g))
	s := n10 + d
	return (s-math.Sqrt(s*s-4*(n9+n10*d)))/2 - zeroC
}

// SaturationPressure returns the pressure in Pa at which pure water boils at
// tC (IAPWS-IF97 equation 30; 0–373.946 °C). Outside the range it is NaN.
func SaturationPressure(tC float64) (pPa float64) {
	if !(tC >= 0 && tC <= 373.946) {
		return math.NaN()
	}
	b := saturationBeta(tC)
	return b * b * b * b * 1e6
}

// saturationBeta is the fourth root of the saturation pressure in MPa.
func saturationBeta(tC float64) float64 {
	t := tC + zeroC
	th := t + n9/(t-n10)
	a := th*th + n1*th + n2
	b := n3*th*th + n4*th + n5
	c := n6*th*th + n7*th + n8
	return 2 * c / (-b + math.Sqrt(b*b-4*a*c))
}

// saturation returns ln(p/Pa) on the saturation line and its derivative per K
// (0–370 °C; colder is read as 0).
func saturation(tC float64) (lnP, perK float64) {
	const ln1e6 = 13.815510557964274
	tC = math.Max(tC, 0)
	t := tC + zeroC
	u := n9 / (t - n10)
	th := t + u
	a := th*th + n1*th + n2
	b := n3*th*th + n4*th + n5
	c := n6*th*th + n7*th + n8
	beta := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	dF := beta*beta*(2*th+n1) + beta*(2*n3*th+n4) + 2*n6*th + n7 // ∂/∂θ of the implicit equation 29
	dB := 2*beta*a + b                                           // ∂/∂β of it
	dTh := 1 - u/(t-n10)
	return 4*math.Log(beta) + ln1e6, -4 * dF / dB * dTh / beta
}

// LatentHeat returns the heat that turns boiling water at tC into steam, J/g.
// A parabola through the IAPWS-IF97 values at 95, 105 and 120 °C: within
// 0.1 % of them from 60 to 150 °C. The heat of dilution (about 1.6 % at a
// caramel's endpoint) is left out.
func LatentHeat(tC float64) (jPerG float64) {
	return 2269.6 - 2.64*(tC-95) - 0.0037333*(tC-95)*(tC-105)
}
