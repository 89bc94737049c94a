package probe

import "math"

// The Callendar–Van Dusen coefficients of an industrial platinum resistance
// thermometer (IEC 60751, α = 3.851e-3 /°C).
const (
	rtdA = 3.9083e-3
	rtdB = -5.775e-7
	rtdC = -4.183e-12 // below 0 °C only
)

// Pt100Ohms returns the resistance of a Pt100 in Ω. It holds for −200–850 °C.
func Pt100Ohms(c Celsius) float64 {
	t := float64(c)
	r := 1 + t*(rtdA+rtdB*t)
	if t < 0 {
		r += rtdC * (t - 100) * t * t * t
	}
	return 100 * r
}

// Pt100 returns the temperature of a Pt100 of the given resistance in Ω. Under
// 10 Ω its leads touch, over 400 Ω one is broken: [FaultShort], [FaultOpen].
func Pt100(ohms float64) (Celsius, Fault) {
	switch {
	case math.IsNaN(ohms) || ohms > 400:
		return 0, FaultOpen
	case ohms < 10:
		return 0, FaultShort
	case ohms > Pt100Ohms(850), ohms < Pt100Ohms(-200):
		return 0, FaultOverRange
	}
	t := (-rtdA + math.Sqrt(rtdA*rtdA-4*rtdB*(1-ohms/100))) / (2 * rtdB)
	if t >= 0 {
		return Celsius(t), FaultNone
	}
	// Below 0 °C the cubic term counts; Newton's method from the quadratic
	// root. The slope is 0.39–0.44 Ω/K.
	for range 30 {
		step := (ohms - Pt100Ohms(Celsius(t))) / 0.41
		t += step
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return Celsius(t), FaultNone
}
