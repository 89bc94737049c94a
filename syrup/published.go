package syrup

import "math"

// Curve is one of the published boiling curves of sugar solutions. The zero
// value is the one that the forecast uses; the others are there to be
// disagreed with: a simulated pot that obeys another one shows what the
// disagreement costs.
type Curve uint8

// The curves.
const (
	StarzakPeacock Curve = iota // the forecast's own; the only one sane from 60 to 98 %
	Norrish                     // Norrish 1966, K = 6.47 (from memory): best below 80 %, runs away above 88 %
	Browne                      // Browne 1912, table; 60 and 70 % seen, the rest from memory
	CaneSugar                   // cane-sugar boiling point elevation by Brix (from memory): low above 85 %
	Raoult                      // ideal solution: boils far too low
	curveCount
)

var curveWords = [curveCount]string{"starzak-peacock", "norrish", "browne", "cane", "raoult"}

// String returns the curve's word.
func (c Curve) String() string {
	if c >= curveCount {
		return "unknown curve"
	}
	return curveWords[c]
}

// CurveFor returns the curve whose [Curve.String] is s, and whether there is
// one.
func CurveFor(s string) (Curve, bool) {
	for c, w := range curveWords {
		if w == s {
			return Curve(c), true
		}
	}
	return 0, false
}

// Boils returns the temperature in °C at which a syrup with z moles of water
// per mole of solute boils under pPa by this curve. Ratios below 0.001 are
// read as 0.001.
func (c Curve) Boils(z, pPa float64) (tC float64) {
	if math.IsInf(z, 1) {
		return WaterBoils(pPa)
	}
	z = math.Max(z, driestZ)
	return c.boils(1/(1+z), pPa)
}

// Ratio returns the moles of water per mole of solute of a syrup that boils at
// tC under pPa by this curve, found by bisection: +Inf at or below water's
// boiling point, never less than 0.001.
func (c Curve) Ratio(tC, pPa float64) (z float64) {
	if c == StarzakPeacock {
		return WaterRatio(tC, pPa)
	}
	switch b := WaterBoils(pPa); {
	case math.IsNaN(tC) || math.IsNaN(b):
		return math.NaN()
	case tC <= b:
		return math.Inf(1)
	case tC >= c.Boils(driestZ, pPa):
		return driestZ
	}
	lo, hi := math.Log(driestZ), math.Log(1e6)
	for range 60 {
		mid := (lo + hi) / 2
		if c.Boils(math.Exp(mid), pPa) > tC {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Exp((lo + hi) / 2)
}

// boils solves a_w(x, T)·p_sat(T) = p by going round T → a_w → T, which gains
// a digit and a half each time because the activity hardly depends on T.
func (c Curve) boils(x, pPa float64) float64 {
	water := WaterBoils(pPa)
	if math.IsNaN(water) || math.IsNaN(x) {
		return math.NaN()
	}
	if c == CaneSugar {
		return water + caneElevation(SugarPercent((1-x)/x), water)
	}
	t := water
	for range 40 {
		// the hottest is where the saturation line ends, near the critical point
		next := 373.9
		if p := pPa / math.Exp(c.lnActivity(x, t)); p < 22e6 {
			next = WaterBoils(p)
		}
		if math.Abs(next-t) < 1e-12*math.Abs(next) {
			return next
		}
		t = next
	}
	return t
}

// lnActivity is the logarithm of water's activity at solute mole fraction x.
func (c Curve) lnActivity(x, tC float64) float64 {
	switch c {
	case Norrish:
		return math.Log1p(-x) - 6.47*x*x
	case Raoult:
		return math.Log1p(-x)
	case Browne:
		elevation := browneElevation(SugarPercent((1 - x) / x))
		return math.Log(StandardPressure / SaturationPressure(WaterBoils(StandardPressure)+elevation))
	}
	return math.Log1p(-x) + spQ/(gasR*(tC+zeroC))*x*x*(1+spA*x+spB*x*x)
}

// browneRows is % sucrose and K above water's boiling point: Browne, Handbook
// of Sugar Analysis, 1912, through Lowe, Experimental Cookery.
var browneRows = [...][2]float64{
	{0, 0}, {10, 0.4}, {20, 0.6}, {30, 1.0}, {40, 1.5}, {50, 2.0}, {60, 3.0}, {70, 6.5}, {80, 12.0}, {90.8, 30.0},
}

// browneElevation draws straight lines between the rows and goes on straight
// above the last.
func browneElevation(percent float64) float64 {
	i := 1
	for i < len(browneRows)-1 && percent > browneRows[i][0] {
		i++
	}
	a, b := browneRows[i-1], browneRows[i]
	return a[1] + (percent-a[0])*(b[1]-a[1])/(b[0]-a[0])
}

// caneElevation is the elevation in K by Brix and water's boiling point, the
// form used for cane juice evaporators.
func caneElevation(brix, waterC float64) float64 {
	k := 273 + waterC
	d := brix - 40
	return 6.064e-5 * k * k * brix * brix / math.Pow(374.3-waterC, 0.38) * (5.84e-7*d*d + 7.2e-4)
}
