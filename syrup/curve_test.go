package syrup_test

import (
	"math"
	"testing"

	"boildown/syrup"
)

func TestSucroseBoilingPoints(t *testing.T) {
	for _, r := range table(t, "sucrose.csv") {
		percent, tC := r.num(t, "percent"), r.num(t, "celsius")
		off := syrup.SyrupBoils(syrup.RatioOfPercent(percent), syrup.StandardPressure) - tC
		if low, high := r.num(t, "low_k"), r.num(t, "high_k"); off < low || off > high {
			t.Errorf("%s, %v %%: curve − table = %+.2f K, want %v…%v K", r["source"], percent, off, low, high)
		}
	}
}

func TestCurveRecomputed(t *testing.T) {
	for _, r := range table(t, "curve.csv") {
		z := syrup.RatioOfPercent(r.num(t, "percent"))
		near(t, r["percent"]+" % at sea level", syrup.SyrupBoils(z, 101325), r.num(t, "celsius_101325"), 6e-5)
		near(t, r["percent"]+" % at 1500 m", syrup.SyrupBoils(z, 84556), r.num(t, "celsius_84556"), 6e-5)
	}
	for _, r := range table(t, "ratio.csv") {
		tC, pPa, z := r.num(t, "celsius"), r.num(t, "pascal"), r.num(t, "z")
		got := syrup.WaterRatio(tC, pPa)
		near(t, r["celsius"]+" °C: z", got/z, 1, 2e-8)
		near(t, r["celsius"]+" °C: x", 1/(1+got), r.num(t, "x"), 2e-9)
		near(t, r["celsius"]+" °C: activity", pPa/syrup.SaturationPressure(tC), r.num(t, "activity"), 2e-9)
	}
	for _, r := range table(t, "slope.csv") {
		tC := celsius(r.num(t, "fahrenheit"))
		z := syrup.WaterRatio(tC, syrup.StandardPressure)
		near(t, r["fahrenheit"]+" °F: z", z, r.num(t, "z"), 6e-4)
		near(t, r["fahrenheit"]+" °F: u", syrup.WaterPerSolids(z), r.num(t, "u"), 6e-5)
		near(t, r["fahrenheit"]+" °F: %", syrup.SugarPercent(z), r.num(t, "percent"), 6e-3)
		near(t, r["fahrenheit"]+" °F: dz/dT", syrup.WaterRatioSlope(tC, syrup.StandardPressure), r.num(t, "dzdt_per_k"), 6e-4)
	}
}

// TestRootByBisection solves the curve's equation again, in the plainest way.
func TestRootByBisection(t *testing.T) {
	for _, pPa := range []float64{70e3, 84556, 101325, 105e3} {
		for tC := syrup.WaterBoils(pPa) + 0.01; tC < 165; tC += 0.37 {
			k := tC + 273.15
			lhs := func(x float64) float64 {
				return math.Log(1-x) - 17638/(8.314462618*k)*x*x*(1-1.0038*x-0.24653*x*x)
			}
			lo, hi := 0.0, 0.999
			for range 60 {
				if mid := (lo + hi) / 2; lhs(mid) > math.Log(pPa/syrup.SaturationPressure(tC)) {
					lo = mid
				} else {
					hi = mid
				}
			}
			near(t, "z by bisection, relative", syrup.WaterRatio(tC, pPa)*lo/(1-lo), 1, 1e-9)
		}
	}
}

func TestCurveIdentities(t *testing.T) {
	for _, pPa := range []float64{70e3, 80e3, 84556, 95e3, 101325, 105e3} {
		last := math.Inf(1)
		for percent := 0.01; percent < 99.8; percent += 0.05 {
			z := syrup.RatioOfPercent(percent)
			tC := syrup.SyrupBoils(z, pPa)
			if back := syrup.WaterRatio(tC, pPa); !(back < last) {
				t.Fatalf("%v Pa, %v %%: the ratio does not fall: %v after %v", pPa, percent, back, last)
			} else {
				last = back
			}
			near(t, "T(z(T))", syrup.SyrupBoils(syrup.WaterRatio(tC, pPa), pPa), tC, 1e-7)
			near(t, "percent(ratio)", syrup.SugarPercent(z), percent, 1e-9)
			const h = 1e-4
			if percent > 30 && percent < 98 {
				numeric := (syrup.WaterRatio(tC+h, pPa) - syrup.WaterRatio(tC-h, pPa)) / (2 * h)
				near(t, "slope against differences", syrup.WaterRatioSlope(tC, pPa)/numeric, 1, 1e-5)
			}
		}
	}
}

func TestCurveEdges(t *testing.T) {
	water := syrup.WaterBoils(syrup.StandardPressure)
	for _, tC := range []float64{0, 20, 99.9, water} {
		if z := syrup.WaterRatio(tC, syrup.StandardPressure); !math.IsInf(z, 1) {
			t.Errorf("WaterRatio(%v) = %v, want +Inf: nothing boils yet", tC, z)
		}
	}
	for _, tC := range []float64{200, 300, 375, 1372, math.Inf(1)} {
		if z := syrup.WaterRatio(tC, syrup.StandardPressure); !(z >= 0.001 && z < 0.1) {
			t.Errorf("WaterRatio(%v) = %v, want next to no water but never less than 0.001", tC, z)
		}
	}
	if z := syrup.WaterRatio(math.Inf(-1), syrup.StandardPressure); !math.IsInf(z, 1) {
		t.Errorf("WaterRatio(−Inf) = %v, want +Inf", z)
	}
	if z := syrup.WaterRatio(math.NaN(), syrup.StandardPressure); !math.IsNaN(z) {
		t.Errorf("WaterRatio(NaN) = %v, want NaN", z)
	}
	near(t, "pure water", syrup.SyrupBoils(math.Inf(1), syrup.StandardPressure), water, 0)
	if tC := syrup.SyrupBoils(0, syrup.StandardPressure); math.IsNaN(tC) || tC < 155 {
		t.Errorf("SyrupBoils(0) = %v, want a hot, finite temperature", tC)
	}
}

func TestShiftTarget(t *testing.T) {
	for _, r := range table(t, "shifts.csv") {
		got := fahrenheit(syrup.ShiftTarget(celsius(r.num(t, "sea_level_f")), syrup.Pressure(r.num(t, "altitude_m"))))
		near(t, r["sea_level_f"]+" °F at "+r["altitude_m"]+" m", got, r.num(t, "shifted_f"), 0.06)
	}
	near(t, "no shift at sea level", syrup.ShiftTarget(112.7, syrup.StandardPressure), 112.7, 1e-9)
	near(t, "below boiling it moves with water", syrup.ShiftTarget(90, 84556), 90+syrup.WaterBoils(84556)-99.9743, 1e-3)
}

// TestPublishedAltitudeRule: 2 °F lower for each 1000 ft (Colorado State
// University Extension), 1 °F for each 500 ft (Exploratorium).
func TestPublishedAltitudeRule(t *testing.T) {
	const ft = 0.3048
	for _, f := range []float64{220, 230, 235, 240, 245} {
		for _, kft := range []float64{1, 2, 3, 5, 7} {
			got := fahrenheit(syrup.ShiftTarget(celsius(f), syrup.Pressure(kft*1000*ft)))
			near(t, "shift by the rule", got, f-2*kft, 0.15*kft)
		}
	}
}

// TestOneProbeTrick: the water boil read on a probe that is off by a constant
// stands for the pressure, and the composition is still right.
func TestOneProbeTrick(t *testing.T) {
	z := syrup.RatioOfPercent(84)
	for _, pPa := range []float64{syrup.StandardPressure, syrup.Pressure(1600)} {
		for _, off := range []float64{-1, 1, 2} {
			believed := syrup.SaturationPressure(syrup.WaterBoils(pPa) + off)
			reads := syrup.SyrupBoils(z, pPa) + off
			near(t, "believed boiling point", syrup.SyrupBoils(z, believed), reads, 0.14)
		}
	}
}
