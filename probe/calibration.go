package probe

import "fmt"

// Calibration corrects a raw reading: corrected = Gain·raw + Offset. The zero
// value corrects nothing.
type Calibration struct {
	Gain   float64 // 1 for none; 0 is read as 1 so that the zero value is harmless
	Offset Delta   // K
}

// The largest corrections that a calibration may make. A probe that needs more
// is broken, or stood in the wrong bath: our own choice, no source.
const (
	MaxOffset Delta   = 3
	MinGain   float64 = 0.97
	MaxGain   float64 = 1.03
)

// Apply returns the corrected temperature.
func (k Calibration) Apply(raw Celsius) Celsius {
	gain := k.Gain
	if gain == 0 {
		gain = 1
	}
	return Celsius(gain*float64(raw)) + Celsius(k.Offset)
}

// TwoPoint makes the calibration of a probe that reads ice in a slush of
// crushed ice and water, and boil in water at a rolling boil that in truth
// boils at water.
func TwoPoint(ice, boil, water Celsius) (Calibration, error) {
	span := float64(boil - ice)
	if span < 50 {
		return Calibration{}, fmt.Errorf("calibrating with ice at %.1f °C and boiling water at %.1f °C: that is no ice and no boil; repeat both, stirring the ice and keeping the tip off the metal", float64(ice), float64(boil))
	}
	gain := float64(water) / span
	return checked(Calibration{Gain: gain, Offset: Delta(-gain * float64(ice))})
}

// OnePoint makes the calibration of a probe that reads boil in water that in
// truth boils at water: an offset alone.
func OnePoint(boil, water Celsius) (Calibration, error) {
	return checked(Calibration{Gain: 1, Offset: Delta(water - boil)})
}

func checked(k Calibration) (Calibration, error) {
	if !(k.Offset >= -MaxOffset && k.Offset <= MaxOffset) {
		return Calibration{}, fmt.Errorf("calibrating: the probe would be off by %.1f K, more than the %.0f K a sound one is; check the bath and the unit, or use another probe", float64(k.Offset), float64(MaxOffset))
	}
	if !(k.Gain >= MinGain && k.Gain <= MaxGain) {
		return Calibration{}, fmt.Errorf("calibrating: the probe's degrees would be %.3f of a true one, not within %.2f–%.2f; check both baths, or use another probe", k.Gain, MinGain, MaxGain)
	}
	return k, nil
}
