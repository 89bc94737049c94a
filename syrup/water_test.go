package syrup_test

import (
	"math"
	"testing"

	"boildown/syrup"
)

func TestSaturationAgainstTheStandard(t *testing.T) {
	for _, r := range table(t, "saturation.csv") {
		tC, pPa, tol := r.num(t, "celsius"), r.num(t, "pascal"), r.num(t, "tolerance_rel")
		near(t, r["source"]+" p(T)", syrup.SaturationPressure(tC)/pPa, 1, tol)
		// a digit of pressure is a fourteenth of a digit of temperature or better
		near(t, r["source"]+" T(p)", syrup.WaterBoils(pPa), tC, math.Max(6e-7, tol*tC))
	}
}

// wagner is an independent saturation line: IAPWS SR1-86(1992).
func wagner(tC float64) float64 {
	t := tC + 273.15
	u := 1 - t/647.096
	return 22.064e6 * math.Exp(647.096/t*(-7.85951783*u+1.84408259*math.Pow(u, 1.5)-11.7866497*u*u*u+
		22.6807411*math.Pow(u, 3.5)-15.9618719*math.Pow(u, 4)+1.80122502*math.Pow(u, 7.5)))
}

func TestSaturationAgainstAnotherFormula(t *testing.T) {
	for tC := 80.0; tC <= 150; tC += 0.5 {
		near(t, "IF97/SR1-86", syrup.SaturationPressure(tC)/wagner(tC), 1, 1.3e-4)
	}
}

func TestSaturationGoesBothWays(t *testing.T) {
	last := 0.0
	for p := 700.0; p < 22e6; p *= 1.03 {
		tC := syrup.WaterBoils(p)
		if tC <= last {
			t.Fatalf("boiling point falls to %v °C at %v Pa", tC, p)
		}
		last = tC
		near(t, "p(T(p))/p", syrup.SaturationPressure(tC)/p, 1, 1e-9)
	}
	for _, p := range []float64{0, -1, 100, 23e6, math.Inf(1), math.NaN()} {
		if got := syrup.WaterBoils(p); !math.IsNaN(got) {
			t.Errorf("WaterBoils(%v) = %v, want NaN outside the saturation line", p, got)
		}
	}
}

func TestForbes1857(t *testing.T) {
	const inHg = 3386.389 // Pa
	outliers := 0
	for _, r := range table(t, "forbes.csv") {
		off := r.num(t, "boils_f") - fahrenheit(syrup.WaterBoils(r.num(t, "pressure_inhg")*inHg))
		if r["outlier"] != "" {
			outliers++
			near(t, "the known outlier, observed − computed °F", off, -1.42, 0.02)
			continue
		}
		near(t, r["pressure_inhg"]+" inHg, observed − computed °F", off, 0, 0.45)
	}
	if outliers != 1 {
		t.Errorf("got %d outliers, want the one that every reader of this table knows", outliers)
	}
}

func TestLatentHeat(t *testing.T) {
	for _, r := range table(t, "latent.csv") {
		tC := r.num(t, "celsius")
		tol := 0.001
		if tC >= 95 && tC <= 120 {
			tol = 0.0001
		}
		near(t, r["source"]+" at "+r["celsius"]+" °C, relative", syrup.LatentHeat(tC)/r.num(t, "j_per_g"), 1, tol)
	}
}

// TestWeather: a low and a high at sea level, 98 and 104 kPa, move water's
// boiling point and a 235 °F syrup as far as the whole pull window is wide
// (computed by an independent program); 0.277 K/kPa at one atmosphere.
func TestWeather(t *testing.T) {
	for pPa, want := range map[float64][2]float64{98e3: {210.28, 233.2}, 104e3: {213.27, 236.4}} {
		near(t, "water, °F", fahrenheit(syrup.WaterBoils(pPa)), want[0], 0.006)
		near(t, "235 °F syrup, °F", fahrenheit(syrup.ShiftTarget(celsius(235), pPa)), want[1], 0.06)
	}
	near(t, "dT/dp, K/kPa", syrup.WaterBoils(101825)-syrup.WaterBoils(100825), 0.277, 1e-3)
}
