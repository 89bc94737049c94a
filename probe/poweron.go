package probe

import "math"

// PowerOn is what a DS18B20 shows before its first measurement, and again
// after each break in its supply (DS18B20 data sheet, "Temperature register").
const PowerOn Celsius = 85

// PowerOnWatch tells the power-on value from a pot that happens to be at
// 85 °C: a pot comes there from close by. The zero value has seen nothing yet.
type PowerOnWatch struct {
	last Celsius
	seen bool
}

// Check returns [FaultPowerOn] for an exact 85 °C with no good reading within
// 2 K before it, else [FaultNone].
func (w *PowerOnWatch) Check(c Celsius) Fault {
	if math.Abs(float64(c-PowerOn)) < 1e-6 && (!w.seen || math.Abs(float64(w.last-PowerOn)) > 2) {
		return FaultPowerOn
	}
	w.last, w.seen = c, true
	return FaultNone
}
