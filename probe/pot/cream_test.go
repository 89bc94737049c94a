package pot

import (
	"math"
	"testing"
	"time"
)

// ready is 400 g of clear syrup at 170 °C with nothing lost and no heat.
func ready(creamC float64) *Pot {
	cfg := DefaultConfig()
	cfg.CreamC, cfg.LossWK, cfg.SurfaceG = creamC, 0, 0
	p := New(cfg)
	p.liquid, p.crystals = p.crystals, 0
	p.contents, p.base = 170, 170
	return p
}

// Worked with 2.3 J/(g·K) for the sugar throughout, which the pot has only
// above 150 °C; so the pot comes out some kelvin cooler and flashes less. 400 g
// at 170 °C and 480 g of cream, in one go: at 20 °C they mix at 91.2 °C and
// nothing flashes; at 80 °C they boil and flash 25.7 g.
func TestCreamInOneGo(t *testing.T) {
	cold := ready(20)
	cold.creamIn(480)
	mixed := (cold.contentsJK()*cold.contents + 200*cold.base) / (cold.contentsJK() + 200)
	if math.Abs(mixed-91.2) > 6 {
		t.Errorf("cold cream mixes at %.1f °C, want about 91", mixed)
	}
	hot := ready(80)
	hot.creamIn(480)
	for range 3000 {
		hot.step()
	}
	if g := hot.sums.steamG; g < 15 || g > 30 {
		t.Errorf("hot cream flashes %.1f g, want about 26", g)
	}
}

// 12 portions of 40 g, 20 s apart, cream at 80 °C and 600 W: worked step by
// step in °C after each portion, to where about 190 g of water are left.
func TestCreamInPortionsWalksDownTheCurve(t *testing.T) {
	p := ready(80)
	p.cfg.PortionGap, p.cfg.Watts, p.cfg.Level = 20*time.Second, 600, 1
	p.level = 1
	p.Told("cream-start")
	for i, want := range []float64{152, 139, 128, 121, 116, 112, 110, 108, 107, 106, 105, 104.8} {
		p.Advance(time.Duration(i+1)*20*time.Second - step)
		if got := float64(p.True()); math.Abs(got-want) > 0.04*want {
			t.Errorf("after portion %d: %.1f °C, want %v", i+1, got, want)
		}
	}
	if p.JugG() != 0 || math.Abs(p.water-190) > 15 {
		t.Errorf("%.0f g in the jug and %.0f g of water in the pot, want 0 and about 190", p.JugG(), p.water)
	}
}

// Common practice, no source: cold cream poured fast seizes the sugar, which
// then takes its time to dissolve; warm cream poured slowly does not.
func TestColdFastCreamSeizes(t *testing.T) {
	pour := func(creamC float64, hurry bool) (worst float64, p *Pot) {
		p = ready(creamC)
		p.on = true
		p.Told("cream-start")
		if hurry {
			p.Told("cream-end")
		}
		for range 5 * 600 {
			p.step()
			worst = max(worst, p.Look().Lumps)
		}
		return worst, p
	}
	gentle, _ := pour(70, false)
	rough, p := pour(5, true)
	if gentle > 0.01 || rough < 0.15 {
		t.Errorf("seized share: gentle %.2f, rough %.2f", gentle, rough)
	}
	if left := p.Look().Lumps; left > 0.7*rough || left <= 0 {
		t.Errorf("of %.2f seized, %.2f are left after five minutes: want a slow but steady loss", rough, left)
	}
	p.Told("cream-start")
	if p.pouring {
		t.Error("an empty jug pours")
	}
}
