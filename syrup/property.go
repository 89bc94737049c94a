package syrup

// Specific heats after Choi & Okos 1986, J/(g·K), T in °C, fitted from −40 to
// 150 °C (water 0 to 150). The fat's linear term is printed 1.4733e-3 in one
// handbook and 1.4373e-3 in another; it matters by 1 % at most.
func cpWater(t float64) float64   { return 4.1762 + t*(-9.0864e-5+5.4731e-6*t) }
func cpProtein(t float64) float64 { return 2.0082 + t*(1.2089e-3-1.3129e-6*t) }
func cpFat(t float64) float64     { return 1.9842 + t*(1.4733e-3-4.8008e-6*t) }
func cpCarb(t float64) float64    { return 1.5488 + t*(1.9625e-3-5.9399e-6*t) }
func cpAsh(t float64) float64     { return 1.0926 + t*(1.8896e-3-3.6817e-6*t) }

// Densities after Choi & Okos 1986, g/mL, T in °C (from memory).
func rhoWater(t float64) float64   { return (997.18 + t*(3.1439e-3-3.7574e-3*t)) / 1e3 }
func rhoProtein(t float64) float64 { return (1329.9 - 0.5184*t) / 1e3 }
func rhoFat(t float64) float64     { return (925.59 - 0.41757*t) / 1e3 }
func rhoCarb(t float64) float64    { return (1599.1 - 0.31046*t) / 1e3 }
func rhoAsh(t float64) float64     { return (2423.8 - 0.28063*t) / 1e3 }

// HeatCapacity returns the heat in J that warms the whole mix by 1 K at tC,
// by Choi and Okos. Dry molten sugar holds more than their carbohydrate:
// see [MoltenSugarCp].
func (m Mix) HeatCapacity(tC float64) (jPerK float64) {
	return m.Water*cpWater(tC) + m.Fat*cpFat(tC) + m.Protein*cpProtein(tC) + m.Ash*cpAsh(tC) +
		(m.Solutes-m.Protein-m.Ash)*cpCarb(tC)
}

// Volume returns the volume of the mix in mL at tC, by Choi and Okos.
func (m Mix) Volume(tC float64) (mL float64) {
	return m.Water/rhoWater(tC) + m.Fat/rhoFat(tC) + m.Protein/rhoProtein(tC) + m.Ash/rhoAsh(tC) +
		(m.Solutes-m.Protein-m.Ash)/rhoCarb(tC)
}

// Density returns the density of the mix in g/mL at tC; NaN for no mass.
func (m Mix) Density(tC float64) (gPerML float64) { return m.Mass() / m.Volume(tC) }

// MoltenSugarCp is the specific heat of molten sucrose, J/(g·K), near 170 °C:
// a syrup formula extrapolated to no water; ±10 %.
const MoltenSugarCp = 2.3

// CrystalSugarCp returns the mean specific heat of crystalline sucrose between
// 0 °C and tC, J/(g·K) (Mohos 2010: 0.2712 + 0.00103·t kcal/(kg·K)).
func CrystalSugarCp(tC float64) (jPerGK float64) { return 1.1355 + 0.00431*tC }
