package syrup

import (
	"math"
	"testing"
)

// TestGammaMinimum: Starzak & Mathlouthi 2006 (Food Chem. 96:346) report the
// least activity coefficient of water at about 96 % sugar by weight; the
// constants used here put it at 96.05 %.
func TestGammaMinimum(t *testing.T) {
	lnGamma := func(x float64) float64 { return StarzakPeacock.lnActivity(x, 120) - math.Log1p(-x) }
	at := 0.0
	for x := 0.01; x < 0.9; x += 1e-5 {
		if lnGamma(x) < lnGamma(at) {
			at = x
		}
	}
	if percent := SugarPercent((1 - at) / at); math.Abs(percent-96.05) > 0.02 {
		t.Errorf("minimum at x = %.4f, %.3f %%; want 96.05 %%", at, percent)
	}
}

// TestNorrishAgreesAtRoomTemperature: the two fits, made from different data,
// agree within 0.0007 in water activity at 25 °C up to a saturated 67 %.
func TestNorrishAgreesAtRoomTemperature(t *testing.T) {
	for percent := 5.0; percent <= 67; percent++ {
		x := 1 / (1 + RatioOfPercent(percent))
		a, b := math.Exp(StarzakPeacock.lnActivity(x, 25)), math.Exp(Norrish.lnActivity(x, 25))
		if math.Abs(a-b) > 7.5e-4 {
			t.Errorf("%v %%: water activity %.5f and %.5f", percent, a, b)
		}
	}
}
