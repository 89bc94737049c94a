package syrup_test

import (
	"math"
	"testing"

	"boildown/syrup"
)

// worked is the batch that testdata/physics/boiloff.csv was computed for by an
// independent program: 400 g sugar, 480 g cream, 1 kg steel pot, 600 W net.
func worked() syrup.Boiling {
	mix := syrup.Mix{Solutes: 400}.Add(syrup.Cream(36.08).Mix(480))
	return syrup.Boiling{Mix: mix, PotJK: 500, PowerW: 600, PressurePa: syrup.StandardPressure}
}

func TestWorkedBatch(t *testing.T) {
	b := worked()
	near(t, "water in, g", b.Mix.Water, 277.0, 0.1)
	near(t, "fat, g", b.Mix.Fat, 173.2, 0.1)
	near(t, "solutes, g", b.Mix.Solutes, 429.8, 0.1)
	near(t, "solute, mol", b.Mix.Moles(), 1.2556, 2e-4)
	start := b.Mix.Boils(b.PressurePa)
	near(t, "boils first at °F", fahrenheit(start), 217.5, 0.05)
	for _, f := range []float64{220, 235, 245} {
		want := map[float64]float64{220: 0.048, 235: 0.0387, 245: 0.037}[f]
		near(t, "κ", b.Kappa(celsius(f)), want, 0.0012)
	}
	near(t, "k per min at 235 °F", b.Rate(celsius(235))*60, 0.712, 0.006)
	for _, r := range table(t, "boiloff.csv") {
		tC := celsius(r.num(t, "fahrenheit"))
		water := r.num(t, "water_g")
		near(t, r["fahrenheit"]+" °F: water left, g", b.Mix.WaterAt(tC, b.PressurePa), water, 0.006*water)
		minutes := r.num(t, "minutes")
		near(t, r["fahrenheit"]+" °F: min", b.Seconds(start, tC)/60, minutes, 0.012*minutes+0.03)
		near(t, r["fahrenheit"]+" °F: °C and back", b.After(start, b.Seconds(start, tC)), tC, 1e-6)
		if r["slope_f_per_min"] != "" {
			slope := r.num(t, "slope_f_per_min")
			near(t, r["fahrenheit"]+" °F: °F/min", b.Slope(tC)*1.8*60, slope, 0.02*slope)
			near(t, "power from slope", b.Power(tC, b.Slope(tC)), 600, 1e-9)
		}
	}
	near(t, "moisture of the whole at 235 °F, %", 100*82.4/b.Mix.WithWater(82.4).Mass(), 12.0, 0.05)
}

// TestHandCheck redoes the line by hand: without the sensible heat
// (8.9220−3.6416)/0.712 = 7.42 min from 220 to 235 °F, with κ = 0.04 7.88 min.
func TestHandCheck(t *testing.T) {
	z := func(f float64) float64 { return syrup.WaterRatio(celsius(f), syrup.StandardPressure) }
	near(t, "min without κ", (z(220)-z(235))/0.712, 7.42, 0.005)
	near(t, "min with κ = 0.04", (z(220)-z(235)+0.04*(celsius(235)-celsius(220)))/0.712, 7.88, 0.005)
	near(t, "min integrated", worked().Seconds(celsius(220), celsius(235))/60, 7.88, 0.12)
}

// TestPowerAndMinutes: minutes to 235 °F from the first boil against net power.
func TestPowerAndMinutes(t *testing.T) {
	for _, c := range []struct{ w, minutes, slope float64 }{
		{300, 25.4, 2.2}, {400, 19.1, 2.9}, {500, 15.2, 3.6}, {800, 9.5, 5.8}, {1000, 7.6, 7.3}, {1200, 6.4, 8.7},
	} {
		b := worked()
		b.PowerW = c.w
		near(t, "min", b.Seconds(b.Mix.Boils(b.PressurePa), celsius(235))/60, c.minutes, 0.012*c.minutes+0.05)
		near(t, "°F/min at 235", b.Slope(celsius(235))*108, c.slope, 0.02*c.slope+0.05)
	}
}

func TestCarryOver(t *testing.T) {
	b := worked()
	for f, want := range map[float64]float64{220: 85, 225: 36.8, 230: 21.6, 235: 14.8, 240: 11.2, 245: 9.0} {
		near(t, "heat that lifts the boiling pot, kJ/K", b.EffectiveHeatCapacity(celsius(f))/1e3, want, 0.022*want)
	}
	for kJ, want := range map[float64]float64{2: 0.24, 5: 0.6, 10: 1.2, 20: 2.4} {
		near(t, "carry-over at 235 °F, °F", b.CarryOver(celsius(235), kJ*1e3)*1.8, want, 0.04*want+0.005)
	}
}

func TestSecondsEdges(t *testing.T) {
	b := worked()
	near(t, "there already", b.Seconds(113, 112), 0, 0)
	for _, s := range []float64{b.Seconds(90, 112)} {
		if !math.IsInf(s, 1) {
			t.Errorf("from below the boil: %v s, want +Inf", s)
		}
	}
	b.PowerW = 0
	if s := b.Seconds(105, 112); !math.IsInf(s, 1) {
		t.Errorf("without power: %v s, want +Inf", s)
	}
}

func TestCooling(t *testing.T) {
	room := celsius(72)
	for tau, want := range map[float64][2]float64{900: {118, 32}, 1300: {170, 46}, 1800: {236, 64}} {
		near(t, "235 → 215 °F, s", syrup.CoolingSeconds(celsius(235), celsius(215), room, tau), want[0], 0.6)
		near(t, "215 → 210 °F, s", syrup.CoolingSeconds(celsius(215), celsius(210), room, tau), want[1], 0.6)
	}
	near(t, "235 → 215 °F in τ", syrup.CoolingSeconds(celsius(235), celsius(215), room, 1), 0.1309, 5e-5)
	near(t, "215 → 210 °F in τ", syrup.CoolingSeconds(celsius(215), celsius(210), room, 1), 0.0356, 5e-5)
	near(t, "there and back", syrup.Cooled(113, 22, 1300, syrup.CoolingSeconds(113, 100, 22, 1300)), 100, 1e-9)
	near(t, "cool already", syrup.CoolingSeconds(90, 100, 22, 1300), 0, 0)
	if s := syrup.CoolingSeconds(113, 20, 22, 1300); !math.IsInf(s, 1) {
		t.Errorf("colder than the room after %v s, want never", s)
	}
}

// TestLag: 50, 63.2 and 90 % of a step after 0.693, 1 and 2.303 time constants.
func TestLag(t *testing.T) {
	for in, want := range map[float64]float64{0.693147: 50, 1: 63.212, 2.302585: 90} {
		near(t, "% of the step", syrup.Lagged(0, 100, 6, 6*in), want, 1e-3)
	}
	near(t, "no lag", syrup.Lagged(20, 100, 0, 1), 100, 0)
}
