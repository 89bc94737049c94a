package syrup

import "math"

// Molar masses in g/mol and the gas constant in J/(mol·K) (CODATA 2018).
const (
	WaterMolG   = 18.01528
	SucroseMolG = 342.2965
	gasR        = 8.314462618
)

// Starzak & Peacock 1997 (Zuckerindustrie 122:380): the activity coefficient
// of water over a sucrose solution with mole fraction x is
//
//	ln γ = Q/(R·T) · x² · (1 + a·x + b·x²)
const (
	spQ = -17638.0 // J/mol
	spA = -1.0038
	spB = -0.24653
)

// hottestC is where the saturation line is left, short of its end at 374 °C
// and long after sugar has burnt.
const hottestC = 370

// The driest syrup that the curve is followed to: mole fraction 0.999.
const (
	driestW = 6.907755278982137 // −ln(1 − 0.999)
	driestZ = 0.001 / 0.999
)

// WaterRatio returns the moles of water per mole of dissolved solute in a
// syrup that boils at tC under pPa. It is +Inf at or below water's boiling
// point and never less than 0.001. Stated for 70–105 kPa; see the package's
// note on trust.
func WaterRatio(tC, pPa float64) (z float64) {
	z, _ = waterRatio(tC, pPa)
	return z
}

// WaterRatioSlope returns d(WaterRatio)/dT per K, a negative number; −Inf at
// or below water's boiling point, 0 where the ratio has reached its floor.
func WaterRatioSlope(tC, pPa float64) (dzdT float64) {
	_, dzdT = waterRatio(tC, pPa)
	return dzdT
}

// waterRatio returns the ratio with its derivative.
func waterRatio(tC, pPa float64) (z, dzdT float64) {
	tC = math.Min(tC, hottestC)
	lnP, perK := saturation(tC)
	l := lnP - math.Log(pPa)
	if !(l > 0) {
		if math.IsNaN(l) {
			return l, l
		}
		return math.Inf(1), math.Inf(-1)
	}
	t := tC + zeroC
	q := -spQ / (gasR * t)
	w, fall := spSolve(l, q)
	z = 1 / math.Expm1(w)
	if w >= driestW {
		return z, 0
	}
	x := -math.Expm1(-w)
	g := x * x * (1 + spA*x + spB*x*x)
	return z, -z * (1 + z) * (perK + q*g/t) / fall
}

// spSolve finds w = −ln(1−x) of the syrup whose water activity is e^(−l), and
// the derivative of l with respect to w there. In w the equation
//
//	w + q·x²·(1 + a·x + b·x²) = l,   q = −Q/(R·T)
//
// is nearly straight, so that three or four of Halley's steps do, each of which
// triples the digits; a bracket catches the flat part near 98 % sugar.
func spSolve(l, q float64) (w, dldw float64) {
	lo, hi := 0.0, math.Min(driestW, 4*l+1)
	w = (math.Sqrt(1+4*q*l) - 1) / (2 * q)
	for range 60 {
		y := math.Exp(-w)
		x := 1 - y
		if w < 0.1 { // where the difference would lose digits
			x = -math.Expm1(-w)
		}
		slope := x * (2 + 3*spA*x + 4*spB*x*x)
		f := w + q*x*x*(1+spA*x+spB*x*x) - l
		dldw = 1 + q*slope*y
		bend := q * y * ((2+6*spA*x+12*spB*x*x)*y - slope)
		if f > 0 {
			hi = w
		} else {
			lo = w
		}
		step := f / (dldw - f*bend/(2*dldw))
		if math.Abs(step) <= 1e-12*w {
			return w - step, dldw
		}
		if w -= step; !(w > lo && w < hi) {
			w = (lo + hi) / 2
		}
	}
	return w, dldw
}

// SyrupBoils returns the temperature in °C at which a syrup with z moles of
// water per mole of solute boils under pPa; the inverse of [WaterRatio] for
// z ≥ 0.001, which smaller ratios are read as. Water's own boiling point for
// z = +Inf.
func SyrupBoils(z, pPa float64) (tC float64) {
	if math.IsInf(z, 1) {
		return WaterBoils(pPa)
	}
	z = math.Max(z, driestZ)
	return StarzakPeacock.boils(1/(1+z), pPa)
}

// ShiftTarget returns the temperature at which the composition that boils at
// seaLevelC under [StandardPressure] boils under pPa. A temperature below
// water's boiling point is shifted as far as water is.
func ShiftTarget(seaLevelC, pPa float64) (tC float64) {
	water := WaterBoils(StandardPressure)
	if seaLevelC <= water {
		return seaLevelC + WaterBoils(pPa) - water
	}
	return SyrupBoils(WaterRatio(seaLevelC, StandardPressure), pPa)
}

// WaterPerSolids returns g of water per g of solute for a water ratio z, the
// solute counted as sucrose.
func WaterPerSolids(z float64) (u float64) { return z * WaterMolG / SucroseMolG }

// SugarPercent returns the sugar in % of the watery phase's mass for a water
// ratio z, the solute counted as sucrose.
func SugarPercent(z float64) (percent float64) { return 100 / (1 + WaterPerSolids(z)) }

// RatioOfPercent is the inverse of [SugarPercent]; +Inf at 0 %.
func RatioOfPercent(percent float64) (z float64) {
	return (100/percent - 1) * SucroseMolG / WaterMolG
}
