package syrup_test

import (
	"math"
	"testing"

	"boildown/syrup"
)

var curves = []syrup.Curve{syrup.StarzakPeacock, syrup.Norrish, syrup.Browne, syrup.CaneSugar, syrup.Raoult}

// TestCurvesAgainstBrowne holds each curve against the same printed points and
// expects the disagreement that an independent program found.
func TestCurvesAgainstBrowne(t *testing.T) {
	points := []struct{ percent, tC float64 }{{70, 106.5}, {80, 112}, {90.8, 130}}
	want := map[syrup.Curve][3]float64{
		syrup.StarzakPeacock: {-1.5, -2.6, -5.6},
		syrup.Norrish:        {-1.0, -0.8, 6.6},
		syrup.Browne:         {0, 0, 0},
		syrup.CaneSugar:      {-0.4, -1.5, -11.7},
	}
	for c, offs := range want {
		for i, p := range points {
			got := c.Boils(syrup.RatioOfPercent(p.percent), syrup.StandardPressure) - p.tC
			near(t, c.String()+" − Browne", got, offs[i], 0.08)
		}
	}
}

// TestNorrishAgainstTheHandbook: within 0.23 K of the pastry-trade table.
func TestNorrishAgainstTheHandbook(t *testing.T) {
	for _, r := range table(t, "sucrose.csv")[:9] {
		got := syrup.Norrish.Boils(syrup.RatioOfPercent(r.num(t, "percent")), syrup.StandardPressure)
		near(t, r["percent"]+" %", got, r.num(t, "celsius"), 0.25)
	}
}

func TestEveryCurveGoesBothWays(t *testing.T) {
	for _, c := range curves {
		if back, ok := syrup.CurveFor(c.String()); !ok || back != c {
			t.Errorf("CurveFor(%q) = %v, %v", c, back, ok)
		}
		for _, pPa := range []float64{75e3, 101325} {
			last := 0.0
			for z := 40.0; z > 0.9; z *= 0.98 {
				tC := c.Boils(z, pPa)
				if !(tC > last) {
					t.Fatalf("%v at %v Pa: boiling point does not rise as water leaves: %v at z = %v", c, pPa, tC, z)
				}
				last = tC
				near(t, c.String()+": z(T(z))/z", c.Ratio(tC, pPa)/z, 1, 1e-6)
			}
			if z := c.Ratio(syrup.WaterBoils(pPa)-1, pPa); !math.IsInf(z, 1) {
				t.Errorf("%v: ratio %v below water's boiling point, want +Inf", c, z)
			}
		}
	}
	if _, ok := syrup.CurveFor("nonsense"); ok {
		t.Error("CurveFor knows nonsense")
	}
}

// TestRaoult: an ideal syrup of mole fraction x boils where water's saturation
// pressure is P/(1−x).
func TestRaoult(t *testing.T) {
	for _, z := range []float64{20, 9, 3.64, 1.5} {
		want := syrup.WaterBoils(syrup.StandardPressure * (1 + z) / z)
		near(t, "ideal syrup", syrup.Raoult.Boils(z, syrup.StandardPressure), want, 1e-9)
	}
}
