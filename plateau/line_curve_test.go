package plateau

import (
	"math"
	"testing"

	"boildown/syrup"
)

// The table must agree with the curve it was made from, whose own check values
// are in package syrup.
func TestBoilingCurveAgainstSyrup(t *testing.T) {
	c := theCurve()
	worst := 0.0
	for tw := 86.0; tw <= 104; tw += 0.9 {
		pPa := syrup.SaturationPressure(tw)
		for z := 0.06; z <= 100; z *= 1.017 {
			same, x, perLn := c.at(math.Log(z), tw)
			want := syrup.SyrupBoils(z, pPa) - tw
			worst = max(worst, math.Abs(x-want))
			if math.Abs(x-want) > 0.0005 {
				t.Fatalf("z %.3f tw %.1f: rise %.5f K, want %.5f", z, tw, x, want)
			}
			if math.Abs(same/z-1) > 1e-8 {
				t.Fatalf("z %.3f comes back as %.9f", z, same)
			}
			slope := z / syrup.WaterRatioSlope(tw+want, pPa)
			if math.Abs(perLn-slope) > 4e-3*math.Abs(slope) {
				t.Fatalf("z %.3f tw %.1f: dx/dlnz %.5f, want %.5f", z, tw, perLn, slope)
			}
			if back := c.lnRatio(x, tw); math.Abs(back-math.Log(z)) > 1e-8 {
				t.Fatalf("z %.3f tw %.1f: inverse gives %.6f", z, tw, math.Exp(back))
			}
		}
	}
	t.Logf("worst error of the rise: %.5f K", worst)
}

// The forecast leans on z at the target; the figures are the recommended
// curve's, tabled at 1 atm and 1500 m (reference table of the boiling curve).
func TestBoilingCurveWorkedValues(t *testing.T) {
	for _, row := range []struct{ c, pPa, z float64 }{
		{103, 101325, 12.3581710}, {105, 101325, 8.0935208}, {110, 101325, 4.5190951},
		{112.7778, 101325, 3.6416331}, {118.3333, 101325, 2.5946460}, {107.4, 84556, 3.6600304},
	} {
		tw := syrup.WaterBoils(row.pPa)
		if z := math.Exp(theCurve().lnRatio(row.c-tw, tw)); math.Abs(z/row.z-1) > 1e-3 {
			t.Errorf("%.2f °C at %.0f Pa: z = %.5f, want %.5f", row.c, row.pPa, z, row.z)
		}
	}
}
