package syrup_test

import (
	"math"
	"testing"

	"boildown/syrup"
)

func TestStandardAtmosphere(t *testing.T) {
	for _, r := range table(t, "atmosphere.csv") {
		h, p := r.num(t, "altitude_m"), r.num(t, "pascal")
		near(t, r["source"]+" pressure at "+r["altitude_m"]+" m", syrup.Pressure(h), p, 0.1)
		near(t, "altitude of "+r["pascal"]+" Pa", syrup.Altitude(p), h, 0.02)
		near(t, "water boils at "+r["altitude_m"]+" m", syrup.WaterBoils(syrup.Pressure(h)), r.num(t, "water_boils_c"), 6e-3)
	}
	for h := -400.0; h <= 5000; h += 37 {
		near(t, "altitude and back", syrup.Altitude(syrup.Pressure(h)), h, 1e-6)
	}
	for _, h := range []float64{-6000, 12000, math.NaN()} {
		if got := syrup.Pressure(h); !math.IsNaN(got) {
			t.Errorf("Pressure(%v) = %v, want NaN outside the standard's layer", h, got)
		}
	}
}
