package main

import (
	"math"
	"testing"
	"time"

	"boildown/probe"
	"boildown/probe/pot"
)

// clean is a cook without trouble, seen by a probe without fault.
func clean() pot.Hard {
	cfg := pot.DefaultConfig()
	cfg.StartsBoil = true
	cfg.Probe = pot.ProbeConfig{Every: time.Second, Lag: time.Second, Noise: 0.02}
	return pot.Hard{
		Kind: pot.LateStart, Config: cfg, Target: probe.Fahrenheit(235), Reaction: 2 * time.Second,
		Told: pot.Told{PressurePa: cfg.PressurePa, Lag: time.Second, Recipe: true},
	}
}

// With next to no noise, steady heat, and everything told, a straight line in
// y has to be right: if it is not, the harness is wrong.
func TestLimitsAreNearZeroOnACleanCook(t *testing.T) {
	o := cook(clean(), pullsAt{clean().Target}, nil)
	c, d := toldAll(o), toldLittle(o)
	n := 0
	for _, r := range o.rows {
		if r.left < 5 || r.at < 240 {
			continue
		}
		n++
		for name, eta := range map[string]float64{"c": c.forecast(r.at), "d": d.forecast(r.at)} {
			if math.Abs(eta-r.left) > 1+0.02*r.left {
				t.Errorf("limit (%s) at %.0f s: %.1f s, the truth is %.1f", name, r.at, eta, r.left)
			}
		}
	}
	if n < 300 {
		t.Errorf("only %d readings were looked at", n)
	}
}

// A change of heat that is told moves limit (c) to the new truth, and leaves
// limit (d), which is not told, behind.
func TestLimitCFollowsAChangeOfHeat(t *testing.T) {
	h := clean()
	h.Turns = []pot.Turn{{After: 6 * time.Minute, Level: 0.5}}
	o := cook(h, pullsAt{h.Target}, nil)
	c, d := toldAll(o), toldLittle(o)
	for _, r := range o.rows {
		if r.at != 480 {
			continue
		}
		if e := wrong(c.forecast(r.at), r.left); e > 0.05 {
			t.Errorf("two minutes after the change limit (c) is %.0f %% wrong", 100*e)
		}
		if e := wrong(d.forecast(r.at), r.left); e < 0.1 {
			t.Errorf("limit (d), which is not told, is only %.0f %% wrong", 100*e)
		}
	}
}

// Not told the pressure, limit (d) has to find it: 1500 m up, water boils 5 K
// lower, and a fit at the sea's level would have no answer.
func TestLimitDFindsThePressure(t *testing.T) {
	h := clean()
	h.Config.PressurePa = 84556
	h.Target = probe.Celsius(107.4)
	h.Told.PressurePa = 0
	o := cook(h, pullsAt{h.Target}, nil)
	d := toldLittle(o)
	for _, r := range o.rows {
		if r.left < 60 && r.left > 59 {
			if e := wrong(d.forecast(r.at), r.left); e > 0.15 {
				t.Errorf("a minute before the target limit (d) is %.0f %% wrong", 100*e)
			}
		}
	}
}

func TestCurveGoesBothWays(t *testing.T) {
	c := trueCurve(clean())
	for tC := 100.5; tC < 140; tC += 0.37 {
		y, slope := c.at(tC)
		if got := c.of(y); math.Abs(got-tC) > 0.002 || slope >= 0 {
			t.Errorf("%.2f °C → %.4f → %.4f °C, slope %.3f", tC, y, got, slope)
		}
	}
}
