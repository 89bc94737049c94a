package syrup_test

import (
	"math"
	"testing"

	"boildown/syrup"
)

// The worked creaming, computed by an independent program: 400 g of sugar at
// 170 °C (2.3 J/(g·K)) in 1 kg of steel, 480 g of cream.
func hotSugar() (m syrup.Mix, jPerK float64) {
	return syrup.Mix{Solutes: 400}, 400*syrup.MoltenSugarCp + 500
}

func TestPourAllAtOnce(t *testing.T) {
	for _, c := range []struct{ creamC, potC, flash, water float64 }{
		{20, 91.2, 0, 277.0},
		{60, 103.2, 12.0, 265.0},
		{80, 103.4, 25.7, 251.3},
	} {
		m, jk := hotSugar()
		got := syrup.Pour(m, jk, 170, syrup.Cream(36.08).Mix(480), c.creamC, 0, syrup.StandardPressure)
		near(t, "pot, °C", got.C, c.potC, 0.25)
		near(t, "flash, g", got.FlashG, c.flash, 0.8)
		near(t, "water left, g", got.Mix.Water, c.water, 0.9)
		if got.Boiling != (c.flash > 0) {
			t.Errorf("cream at %v °C: boiling is %v", c.creamC, got.Boiling)
		}
	}
}

// TestPourInPortions: 12 portions of 40 g at 80 °C, 20 s of 600 W apart.
func TestPourInPortions(t *testing.T) {
	m, jk := hotSugar()
	tC := 170.0
	for _, want := range []float64{152, 139, 128, 121, 116, 112, 110, 108, 107, 106, 105, 104.8} {
		got := syrup.Pour(m, jk, tC, syrup.Cream(36.08).Mix(40), 80, 600*20, syrup.StandardPressure)
		near(t, "pot after a portion, °C", got.C, want, 0.5)
		m, tC = got.Mix, got.C
		rest := m // all but the sugar, which holds more heat molten
		rest.Solutes -= 400
		jk = 500 + 400*syrup.MoltenSugarCp + rest.HeatCapacity(tC)
	}
	near(t, "water at the end, g", m.Water, 190, 0.5)
}

// TestColdPortion: a cold 40 g portion without heat drops the pot to 146 °C and
// flashes 8 g, 13 L of steam.
func TestColdPortion(t *testing.T) {
	m, jk := hotSugar()
	got := syrup.Pour(m, jk, 170, syrup.Cream(36.08).Mix(40), 20, 0, syrup.StandardPressure)
	near(t, "pot, °C", got.C, 146, 0.5)
	near(t, "flash, g", got.FlashG, 8, 0.2)
	near(t, "steam of 8 g, L", syrup.SteamVolume(8), 13, 0.5)
}

func TestLargestPortion(t *testing.T) {
	const jk, heat = 1420.0, 600 * 20.0
	for _, c := range []struct{ floor, creamC, idle, heated, trickle float64 }{
		{150, 20, 16.4, 23.4, 20.8},
		{140, 20, 25.1, 32.2, 0},
		{150, 80, 18.5, 26.4, 23.5},
	} {
		p := syrup.Portion{CpJGK: 3.271, Water: 0.5771, CreamC: c.creamC, FloorC: c.floor, BoilsC: 100}
		near(t, "largest, g", p.Largest(jk, 170, 0), c.idle, 0.06)
		near(t, "largest with 600 W for 20 s, g", p.Largest(jk, 170, heat), c.heated, 0.06)
		if c.trickle > 0 {
			near(t, "trickle, g/min", p.Trickle(600)*60, c.trickle, 0.06)
		}
	}
	below := syrup.Portion{CpJGK: 3.271, Water: 0.5771, CreamC: 20, FloorC: 99, BoilsC: 104}
	near(t, "floor under the boil: no steam", below.JPerG(), 3.271*79, 1e-9)
	near(t, "under the floor already", below.Largest(jk, 90, 0), 0, 0)
	below.CreamC = 99
	if g := below.Largest(jk, 120, 0); !math.IsInf(g, 1) {
		t.Errorf("cream as hot as the floor: %v g, want no limit", g)
	}
	near(t, "no power, no trickle", syrup.Portion{CpJGK: 3.271, CreamC: 20, FloorC: 99, BoilsC: 104}.Trickle(-5), 0, 0)
}

// TestPourKeepsTheFloor: what Largest allows, Pour obeys, to the gram.
func TestPourKeepsTheFloor(t *testing.T) {
	m, jk := hotSugar()
	for floor := 145.0; floor < 165; floor += 5 {
		p := syrup.Portion{CpJGK: 3.271, Water: 0.5771, CreamC: 80, FloorC: floor, BoilsC: 100}
		g := p.Largest(jk, 170, 0)
		got := syrup.Pour(m, jk, 170, syrup.Cream(36.08).Mix(g), 80, 0, syrup.StandardPressure)
		if got.C < floor-0.5 {
			t.Errorf("%.1f g at a floor of %v °C: pot falls to %.2f °C", g, floor, got.C)
		}
	}
}
