package probe

// Calibration corrects a raw reading: corrected = Gain·raw + Offset. The zero
// value corrects nothing.
type Calibration struct {
	Gain   float64 // 1 for none; 0 is read as 1 so that the zero value is harmless
	Offset Delta   // K
}

// Apply returns the corrected temperature.
func (k Calibration) Apply(raw Celsius) Celsius {
	gain := k.Gain
	if gain == 0 {
		gain = 1
	}
	return Celsius(gain*float64(raw)) + Celsius(k.Offset)
}
