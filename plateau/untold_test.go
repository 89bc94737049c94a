package plateau

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// untold shows a fold of which nothing is told a pot, a reading a second from
// the given noise and step, and returns when the stall was first said and the
// target first forecast, s; NaN for never.
func untold(cfg Config, seconds int, noise, step float64, pot func(sec float64) float64) (stall, forecast float64) {
	cfg.Target = probe.Fahrenheit(235)
	s := Start(cfg)
	rnd := rand.New(rand.NewPCG(5, 8))
	stall, forecast = math.NaN(), math.NaN()
	for sec := range seconds {
		c := math.Round((pot(float64(sec))+noise*rnd.NormFloat64())/step) * step
		var a Advice
		s, a = Step(s, Input{At: time.Duration(sec) * time.Second, C: probe.Celsius(c)})
		if a.Stalled && math.IsNaN(stall) {
			stall = float64(sec)
		}
		if a.Forecast.Ok() && math.IsNaN(forecast) {
			forecast = float64(sec)
		}
	}
	return stall, forecast
}

// A batch that is first looked at in mid-boil is seen to stand still; whether
// there is more than water in it shows when it has crept up, and only then is
// the target forecast.
func TestUntold_midBoil(t *testing.T) {
	syrupAt := func(sec float64) float64 { return 98.6 + 0.004*sec }
	stall, forecast := untold(Config{}, 900, 0.05, 0.5, syrupAt)
	if !(stall < 90) {
		t.Errorf("a syrup that boils is said to stand still after %.0f s", stall)
	}
	if !(forecast > 150 && forecast < 500) {
		t.Errorf("its target is forecast from %.0f s on, when it has risen by %.1f K", forecast, 0.004*forecast)
	}
	for _, step := range []float64{0.1, 0.5, 1} {
		if _, forecast := untold(Config{}, 1800, 0.1, step, func(float64) float64 { return 99.4 }); !math.IsNaN(forecast) {
			t.Errorf("plain water in steps of %v °C is forecast after %.0f s", step, forecast)
		}
	}
}

// Plain water stands still at its boil, is stirred, and boils dry. None of it
// is a syrup.
func TestUntold_water(t *testing.T) {
	const boilsAt, dryAt = 120.0, 900.0
	lag := 8.0
	water := func(stirs bool) func(float64) float64 {
		return func(sec float64) float64 {
			c := min(25+0.64*sec, 99.97)
			if since := sec - boilsAt; since > 0 {
				c = 99.97 - 0.6*math.Exp(-since/lag) // the probe's way up to it
			}
			if back := math.Mod(sec, 70); stirs && sec > boilsAt && sec < dryAt {
				c -= 0.35 * math.Exp(-back/lag)
			}
			if sec > dryAt {
				c += 3 * (sec - dryAt)
			}
			return c
		}
	}
	for _, stirs := range []bool{false, true} {
		for _, cfg := range []Config{{}, {Pressure: syrup.StandardPressure}, {Pressure: syrup.StandardPressure, Lag: 8 * time.Second}} {
			stall, forecast := untold(cfg, 930, 0.03, 0.1, water(stirs))
			if !math.IsNaN(stall) || !math.IsNaN(forecast) {
				t.Errorf("stirred %v, lag told %v: plain water stalls at %.0f s and is forecast at %.0f s", stirs, cfg.Lag, stall, forecast)
			}
		}
	}
}

// Cream that trickles into a melt which was hardly amber, on a slow probe: it
// falls as a tip in the air does, but for so long and to where only a pot stands.
func TestUntold_slowCream(t *testing.T) {
	const creamEnd, boilsAt = 1125.0, 1376.0
	// °C that a simulated probe of 4 s lag showed each 20 s from 960 s on
	shown := []float64{164, 135, 115, 104, 97, 92, 88.2, 85, 81.6}
	pot := func(sec float64) float64 {
		since := (sec - 962) / 20
		switch {
		case since <= 0:
			return min(25+0.3*sec, 164)
		case sec < creamEnd:
			i := min(int(since), len(shown)-2)
			return shown[i] + (since-float64(i))*(shown[i+1]-shown[i])
		}
		return 81.4 + 0.08*(min(sec, boilsAt)-creamEnd) + 0.004*max(sec-boilsAt, 0)
	}
	for _, cfg := range []Config{{Pressure: syrup.StandardPressure, Lag: 4 * time.Second}, {Lag: 4 * time.Second}} {
		stall, _ := untold(cfg, 1700, 0.05, 0.1, pot)
		if !(stall > boilsAt-15 && stall < boilsAt+60) {
			t.Errorf("pressure %.0f Pa: boiling from %.0f s on, it stalls at %.0f s", cfg.Pressure, boilsAt, stall)
		}
	}
}
