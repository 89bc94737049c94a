package probe

import "math"

// typeK are the coefficients of the type K reference function for 0–1372 °C,
// giving millivolts (NIST Monograph 175, table for type K; IEC 60584-1).
var typeK = [...]float64{
	-1.760041368600e-2, 3.892120497500e-2, 1.855877003200e-5, -9.945759287400e-8, 3.184094571900e-10,
	-5.607284488900e-13, 5.607505905900e-16, -3.202072000300e-19, 9.715114715200e-23, -1.210472127500e-26,
}

// typeKInverse are those of the approximate inverse for 0–20.644 mV, good to
// ±0.05 °C (the same source).
var typeKInverse = [...]float64{
	0, 25.08355, 7.860106e-2, -2.503131e-1, 8.315270e-2, -1.228034e-2, 9.804036e-4, -4.413030e-5, 1.057734e-6, -1.052755e-8,
}

// typeKMax is the end of the inverse function's range, in mV: 500 °C.
const typeKMax = 20.644

// TypeKMillivolts returns the voltage of a type K thermocouple in mV with its
// cold junction at 0 °C, by the ITS-90 reference function. It holds for
// 0–1372 °C.
func TypeKMillivolts(c Celsius) (mV float64) {
	t := float64(c)
	return polynomial(typeK[:], t) + 0.1185976*math.Exp(-1.183432e-4*(t-126.9686)*(t-126.9686))
}

// TypeK returns the temperature of a type K thermocouple that gives mV with
// its cold junction at cold: the voltages add, the temperatures do not.
// Outside 0–500 °C it is [FaultOverRange].
func TypeK(mV float64, cold Celsius) (Celsius, Fault) {
	if math.IsNaN(mV) || !(cold >= 0 && cold <= 100) {
		return 0, FaultReported
	}
	whole := mV + TypeKMillivolts(cold)
	if !(whole >= TypeKMillivolts(0) && whole <= typeKMax) {
		return 0, FaultOverRange
	}
	t := Celsius(polynomial(typeKInverse[:], whole))
	// The inverse is a fit of its own. A few corrections by the mean slope, in
	// mV/K, make it agree with the reference function.
	for range 4 {
		t += Celsius((whole - TypeKMillivolts(t)) / 0.0405)
	}
	return t, FaultNone
}

func polynomial(c []float64, x float64) (y float64) {
	for i := len(c) - 1; i >= 0; i-- {
		y = float64(y*x) + c[i]
	}
	return y
}
