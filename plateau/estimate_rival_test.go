package plateau

import (
	"math/rand/v2"
	"testing"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// follows shows an estimator a syrup that boils at sea level, one reading a
// second with noise of 0.05 K: heat and shown are what the hob gives at a
// second, as a fall of the water ratio, and what the probe makes of the pot.
func follows(seconds int, heat func(sec int) float64, shown func(sec int, c float64) float64) estimator {
	e := newEstimator(Config{Target: 112.8, Pressure: syrup.StandardPressure})
	noise := rand.New(rand.NewPCG(3, 1))
	v := syrup.WaterRatio(105.2, syrup.StandardPressure) - usualKappa*105.2
	c := 105.2
	for sec := range seconds {
		at := time.Duration(sec) * time.Second
		for range 4 { // Newton's steps back to v = z − κT
			miss := syrup.WaterRatio(c, syrup.StandardPressure) - usualKappa*c - v
			c -= miss / (syrup.WaterRatioSlope(c, syrup.StandardPressure) - usualKappa)
		}
		e.observe(at, probe.Celsius(shown(sec, c)+0.05*noise.NormFloat64()))
		if sec == 10 {
			e.boilBegan(0)
		}
		v -= heat(sec)
	}
	return e
}

const testHeat = 0.5 / 60

func steadyHeat(int) float64               { return testHeat }
func promptProbe(_ int, c float64) float64 { return c }
func dips(sec int, c float64) float64 {
	return c - map[bool]float64{true: 0.25}[sec >= 280 && sec < 292]
}
func turnsDown(sec int) float64 { return testHeat * map[bool]float64{true: 0.55, false: 1}[sec >= 240] }
func (e *estimator) eta(sec int) (s float64) {
	f, _ := e.forecast(time.Duration(sec) * time.Second)
	return f.ETA.Seconds()
}

// While a turn is in doubt the forecast lies between the two lines' and moves
// from the one to the other; once it has won, the heat is the new one.
func TestRivalTakesOverFromTheLine(t *testing.T) {
	steady, turned := follows(420, steadyHeat, promptProbe), follows(420, turnsDown, promptProbe)
	before, _ := steady.line.heat()
	after, sd := turned.line.heat()
	if turned.rival.since != 0 {
		t.Error("after three minutes the matter is not settled")
	}
	if share := after / before; share < 0.45 || share > 0.7 {
		t.Errorf("the heat is taken for %.2f ± %.2f of what it was, want 0.55", share, sd/before)
	}
	last := 0.0
	for sec := 241; sec < 420; sec += 6 {
		e := follows(sec, turnsDown, promptProbe)
		p := e.believed()
		if p < 0 || p > 1 {
			t.Fatalf("at %d s the turn is believed by %v", sec, p)
		}
		if e.rival.since != 0 && e.mayDip() && p > dipTurn {
			t.Errorf("at %d s, when it may be a dip, the turn is believed by %v", sec, p)
		}
		last = max(last, p)
	}
	if last == 0 {
		t.Error("the turn was never suspected")
	}
}

// A spoon that chills the tip for some seconds is not a turn of the heat: the
// forecast is what it would have been.
func TestDipIsNotATurn(t *testing.T) {
	for _, sec := range []int{288, 296, 310, 330} {
		still, stirred := follows(sec, steadyHeat, promptProbe), follows(sec, steadyHeat, dips)
		a, b := still.eta(sec), stirred.eta(sec)
		if a <= 0 || b < 0.75*a || b > 1.33*a {
			t.Errorf("at %d s the stirred pot is forecast in %.0f s, the still one in %.0f s", sec, b, a)
		}
		if stirred.changedAt != still.changedAt {
			t.Errorf("at %d s the heat is said to have changed at %.0f s", sec, stirred.changedAt)
		}
	}
}

func TestMixed(t *testing.T) {
	if m, v := mixed(0.25, 1, 0.5, 3, 0.1); m != 1.5 || v != 0.75*0.5+0.25*0.1+0.25*0.75*4 {
		t.Errorf("mean %v and variance %v of a mixture", m, v)
	}
}
