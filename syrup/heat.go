package syrup

import "math"

// Boiling is a pot at the boil. Under steady net power the quantity
//
//	y = z(T) − κ·T,   κ = C/(L·n·M_w)
//
// falls along a straight line in time at the rate k = P/(L·n·M_w), where z is
// the water ratio, C the heat capacity of pot and contents, L the latent heat
// and n the moles of solute.
type Boiling struct {
	Mix        Mix     // its water does not matter: the temperature says how much is left
	PotJK      float64 // heat capacity of the empty pot, J/K
	PowerW     float64 // net power into the pot: hob less losses
	PressurePa float64
}

// HeatCapacity returns the heat capacity in J/K of pot and contents while they
// boil at tC.
func (b Boiling) HeatCapacity(tC float64) (jPerK float64) {
	return b.PotJK + b.Mix.WithWater(b.Mix.WaterAt(tC, b.PressurePa)).HeatCapacity(tC)
}

// waterHeat is L·n·M_w: the heat in J that boils off one unit of z.
func (b Boiling) waterHeat(tC float64) float64 {
	return LatentHeat(tC) * b.Mix.Moles() * WaterMolG
}

// Kappa returns the sensible-heat term κ per K while the pot boils at tC;
// about 0.04 for a small batch.
func (b Boiling) Kappa(tC float64) (perK float64) { return b.HeatCapacity(tC) / b.waterHeat(tC) }

// Rate returns k, the fall of y per second, while the pot boils at tC.
func (b Boiling) Rate(tC float64) (perS float64) { return b.PowerW / b.waterHeat(tC) }

// Slope returns how fast the pot warms while it boils at tC, K/s.
func (b Boiling) Slope(tC float64) (kPerS float64) {
	return b.Rate(tC) / (b.Kappa(tC) - WaterRatioSlope(tC, b.PressurePa))
}

// Power returns the net power in W that makes the boiling pot warm by kPerS at
// tC; the inverse of [Boiling.Slope].
func (b Boiling) Power(tC, kPerS float64) (w float64) {
	return kPerS * (b.HeatCapacity(tC) - b.waterHeat(tC)*WaterRatioSlope(tC, b.PressurePa))
}

// Seconds returns the time in s that the pot takes to boil from fromC up to
// toC, 0 when it is there already, +Inf from at or below water's boiling
// point or without power.
func (b Boiling) Seconds(fromC, toC float64) (s float64) {
	if fromC >= toC {
		return 0
	}
	z, zEnd := WaterRatio(fromC, b.PressurePa), WaterRatio(toC, b.PressurePa)
	if math.IsInf(z, 0) || !(b.PowerW > 0) {
		return math.Inf(1)
	}
	// Heat by Simpson's rule over equal steps of ln z, in which every term is smooth.
	const steps = 64
	h := math.Log(zEnd/z) / steps
	heatPerLnZ := func(i int) float64 {
		zi := z * math.Exp(h*float64(i))
		t := SyrupBoils(zi, b.PressurePa)
		return b.waterHeat(t)*zi - b.HeatCapacity(t)*zi/WaterRatioSlope(t, b.PressurePa)
	}
	sum := heatPerLnZ(0) + heatPerLnZ(steps)
	for i := 1; i < steps; i++ {
		sum += heatPerLnZ(i) * float64(2+2*(i%2))
	}
	return -sum * h / 3 / b.PowerW
}

// After returns the temperature in °C that the pot reaches when it boils on
// for s seconds from fromC.
func (b Boiling) After(fromC, s float64) (tC float64) {
	lo, hi := fromC, fromC+60
	for range 50 {
		if mid := (lo + hi) / 2; b.Seconds(fromC, mid) > s {
			hi = mid
		} else {
			lo = mid
		}
	}
	return (lo + hi) / 2
}

// EffectiveHeatCapacity returns the heat in J that lifts the boiling pot by
// 1 K at tC, most of which goes into steam.
func (b Boiling) EffectiveHeatCapacity(tC float64) (jPerK float64) {
	return b.HeatCapacity(tC) - b.waterHeat(tC)*WaterRatioSlope(tC, b.PressurePa)
}

// CarryOver returns how many K the pot still climbs when it leaves the heat at
// tC with storedJ of heat in its base or hob above the syrup's temperature.
func (b Boiling) CarryOver(tC, storedJ float64) (k float64) {
	return storedJ / b.EffectiveHeatCapacity(tC)
}

// SteamVolume returns the volume in L of waterG grams boiled off at sea level
// (1.672 m³/kg at 100 °C).
func SteamVolume(waterG float64) (l float64) { return 1.672 * waterG }
