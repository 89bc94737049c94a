package pot

import (
	"math"
	"testing"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// steady is a pot that boils 400 g of sugar and 480 g of cream down under a
// known net power, with nothing lost.
func steady(watts float64) Config {
	cfg := DefaultConfig()
	cfg.StartsBoil = true
	cfg.LossWK, cfg.SurfaceG = 0, 0
	cfg.Watts, cfg.Level = watts, 1
	return cfg
}

// The minutes are the closed form of the boil-off, y = z − κT falling by
// k = P/(L·n·M_w), worked with the IF97 saturation line, the Starzak–Peacock
// activity and Choi–Okos heat capacities: another way to the same answer than
// the pot's stepping. 400 g sugar, 277.0 g water, 600 W, from 217.5 °F.
func TestBoilOffTakesTheWorkedMinutes(t *testing.T) {
	p := New(steady(600))
	for _, row := range []struct{ f, minutes, waterG float64 }{
		{218, 1.33, 256}, {219, 3.28, 225}, {220, 4.79, 202}, {222, 6.99, 168}, {225, 9.14, 135},
		{230, 11.32, 102}, {235, 12.71, 82.4}, {240, 13.69, 68.8}, {245, 14.45, 58.7}, {248, 14.84, 53.8},
	} {
		at, ok := p.Arrival(probe.Fahrenheit(row.f), time.Hour)
		if !ok {
			t.Fatalf("%v °F is never reached", row.f)
		}
		if got := at.Minutes(); math.Abs(got-row.minutes) > 0.02*row.minutes+0.03 {
			t.Errorf("%v °F after %.2f min, want %.2f", row.f, got, row.minutes)
		}
		q := p.Clone()
		q.Advance(at)
		if math.Abs(q.water-row.waterG) > 0.01*row.waterG+0.7 {
			t.Errorf("%v °F with %.1f g of water, want %.1f", row.f, q.water, row.waterG)
		}
	}
}

// Source: the same closed form.
func TestMinutesToTargetFallWithPower(t *testing.T) {
	for _, row := range []struct{ watts, minutes float64 }{
		{300, 25.4}, {400, 19.1}, {500, 15.2}, {800, 9.5}, {1000, 7.6}, {1200, 6.4},
	} {
		at, ok := New(steady(row.watts)).Arrival(probe.Fahrenheit(235), time.Hour)
		if got := at.Minutes(); !ok || math.Abs(got-row.minutes) > 0.02*row.minutes {
			t.Errorf("%v W: 235 °F after %.2f min, want %.2f", row.watts, got, row.minutes)
		}
	}
}

func TestMoreHeatArrivesEarlier(t *testing.T) {
	last := time.Duration(math.MaxInt64)
	for watts := 500.0; watts <= 1800; watts += 100 {
		cfg := DefaultConfig()
		cfg.StartsBoil, cfg.Watts, cfg.Level = true, watts, 1
		at, ok := New(cfg).Arrival(probe.Fahrenheit(235), 3*time.Hour)
		if !ok || at >= last {
			t.Errorf("%v W arrives after %v, 100 W less after %v", watts, at, last)
		}
		last = at
	}
}

// Plain water is the outside check on the whole chain: it boils at the IF97
// temperature of the pressure, and 600 W boil off 600/2256.5 g a second.
func TestPlainWaterBoilsWhereTheTableSays(t *testing.T) {
	for _, row := range []struct{ pPa, tC float64 }{{101325, 99.974}, {84556, 94.983}, {70108.5, 89.972}} {
		cfg := steady(600)
		cfg.Melt, cfg.Cream, cfg.PressurePa = syrup.Mix{Water: 900}, syrup.Mix{}, row.pPa
		p := New(cfg)
		p.Advance(time.Minute)
		before := p.water
		p.Advance(11 * time.Minute)
		if math.Abs(float64(p.True())-row.tC) > 0.01 || !p.Boiling() {
			t.Errorf("at %v Pa: %v °C, boiling %v, want %v °C", row.pPa, p.True(), p.Boiling(), row.tC)
		}
		want := 600 * 600 / syrup.LatentHeat(row.tC)
		if got := before - p.water; math.Abs(got-want) > 0.002*want {
			t.Errorf("at %v Pa: %.1f g boiled off in 10 min, want %.1f", row.pPa, got, want)
		}
	}
}

func TestTableFollowsItsCurve(t *testing.T) {
	for _, pPa := range []float64{101325, 78000} {
		for c := syrup.StarzakPeacock; c <= syrup.Raoult; c++ {
			tab := newTable(c, pPa)
			for z := 0.8; z < 100; z *= 1.13 {
				got, _ := tab.boils(1 / (1 + z))
				if want := min(c.Boils(z, pPa), hottest); math.Abs(got-want) > 0.02 {
					t.Errorf("%v at %v Pa, z = %.3f: %.3f °C, the curve says %.3f", c, pPa, z, got, want)
				}
			}
		}
	}
}

func TestLatentHeatFollowsIF97(t *testing.T) {
	for tC := 85.0; tC <= 130; tC += 5 {
		if got, want := steamJG(tC), syrup.LatentHeat(tC); math.Abs(got-want) > 0.002*want {
			t.Errorf("%v °C: %.1f J/g, IF97 %.1f", tC, got, want)
		}
	}
}

func TestCyclingHobKeepsItsMeanPower(t *testing.T) {
	target := probe.Fahrenheit(235)
	cfg := DefaultConfig()
	cfg.StartsBoil, cfg.Watts, cfg.Level = true, 1500, 0.5
	steady, _ := New(cfg).Arrival(target, time.Hour)
	for _, period := range []time.Duration{5 * time.Second, 20 * time.Second, 60 * time.Second} {
		cfg.Cycle = period
		got, ok := New(cfg).Arrival(target, time.Hour)
		if !ok || math.Abs((got-steady).Seconds()) > 0.04*steady.Seconds() {
			t.Errorf("cycling every %v arrives after %v, steady after %v", period, got, steady)
		}
	}
}

func TestKnobAndLidMoveTheArrival(t *testing.T) {
	target := probe.Fahrenheit(235)
	cfg := DefaultConfig()
	cfg.StartsBoil = true
	plain, _ := New(cfg).Arrival(target, time.Hour)
	arrive := func(do func(*Pot)) time.Duration {
		p := New(cfg)
		p.Advance(3 * time.Minute)
		do(p)
		at, ok := p.Arrival(target, 2*time.Hour)
		if !ok {
			t.Fatal("never arrives")
		}
		return at
	}
	down := arrive(func(p *Pot) { p.Told("heat-down") })
	up := arrive(func(p *Pot) { p.Told("heat-up") })
	undone := arrive(func(p *Pot) { p.Told("heat-down"); p.Undo("heat-down") })
	if !(up < plain && plain < down) || undone != plain {
		t.Errorf("arrival: heat up %v, untouched %v, down %v, down and undone %v", up, plain, down, undone)
	}
	if lid := arrive(func(p *Pot) { p.SetLid(true) }); lid == plain {
		t.Errorf("a lid changes nothing: %v", lid)
	}
	p := New(cfg)
	p.Told("pull")
	if at, ok := p.Arrival(target, time.Hour); ok {
		t.Errorf("a pot off the heat reaches the target after %v", at)
	}
}

// Newton's law with τ = C/(hA) ≈ 1.95 kJ/K / 1.5 W/K = 1300 s and 72 °F air:
// 235→215 °F in 0.1309 τ = 170 s and 215→210 °F in 0.0356 τ = 46 s.
func TestPulledPotCoolsByNewton(t *testing.T) {
	cfg := DefaultConfig()
	cfg.StartsBoil, cfg.SurfaceG, cfg.Room = true, 0, 22.2
	p := New(cfg)
	at, _ := p.Arrival(probe.Fahrenheit(235), time.Hour)
	p.Advance(at)
	p.Told("pull")
	when := map[float64]float64{}
	peak := 0.0
	for range 6000 {
		p.step()
		peak = max(peak, p.contents)
		for _, f := range []float64{235, 215, 210} {
			if p.True() >= probe.Fahrenheit(f) {
				when[f] = p.Now().Seconds()
			}
		}
	}
	if d := when[215] - when[235]; math.Abs(d-170) > 15 {
		t.Errorf("235 to 215 °F took %.0f s, want about 170", d)
	}
	if d := when[210] - when[215]; math.Abs(d-46) > 5 {
		t.Errorf("215 to 210 °F took %.0f s, want about 46", d)
	}
	// The base's 200 J/K stood some 20 K above the syrup: about 4 kJ, and
	// 14.8 kJ lift this syrup by a kelvin.
	if rise := peak - float64(probe.Fahrenheit(235)); rise < 0.02 || rise > 0.4 {
		t.Errorf("carry-over of %.2f K, want a few tenths", rise)
	}
}

// A weak hob brings the pot to the boil late, but it does, and from there on
// the pot stays on its boiling point: the simmer must not let it chase that
// for ever.
func TestSlowPotReachesItsBoil(t *testing.T) {
	for _, watts := range []float64{350, 600, 1500} {
		cfg := DefaultConfig()
		cfg.StartsBoil, cfg.Watts, cfg.Level = true, watts, 1
		p := New(cfg)
		p.contents, p.base, p.boiling = 95, 95, false
		for !p.Boiling() && p.Now() < 30*time.Minute {
			p.step()
		}
		began := p.Now()
		if !p.Boiling() || p.JugG() != 0 {
			t.Fatalf("%v W: no boil after %v, %.2f K under it", watts, began, p.BoilingPoint()-p.True())
		}
		for range 3000 {
			p.step()
			if d := float64(p.BoilingPoint() - p.True()); math.Abs(d) > 0.02 {
				t.Fatalf("%v W: %.3f K under the boil, %v after it began", watts, d, p.Now()-began)
			}
		}
	}
}
