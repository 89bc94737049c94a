package main

import (
	"testing"
	"time"

	"boildown/plateau"
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
	for _, r := range o.rows {
		if r.left > 5 && r.at > 120 && int(r.at)%20 == 0 {
			ec, ed := c.forecast(r.at), d.forecast(r.at)
			t.Logf("at %.0f left %.0f T %.2f: (c) %.1f (d) %.1f", r.at, r.left, r.trueC, ec, ed)
		}
	}
	_ = plateau.Version
}
