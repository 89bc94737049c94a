package main

import (
	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

// pullsAt is a forecaster that knows nothing: it raises the pull when the
// display shows the target. It stands in where only the pot is of interest.
type pullsAt struct{ target probe.Celsius }

func (p pullsAt) step(in plateau.Input) plateau.Advice {
	a := plateau.Advice{At: in.At}
	if in.Kind == plateau.Measured && in.Fault == probe.FaultNone && in.C >= p.target {
		a.Began = a.Began.With(plateau.PullNow)
	}
	return a
}

// carryOver is how far the pot of h rises after a pull at its target, K: what
// the last such batch would have taught.
func carryOver(h pot.Hard) float64 {
	cfg := h.Config
	cfg.StartsBoil = true
	if n := len(h.Turns); n > 0 && h.Turns[n-1].Lid == 0 {
		cfg.Level = h.Turns[n-1].Level
	}
	p := pot.New(cfg)
	at, ok := p.Arrival(h.Shown(), horizon)
	if !ok {
		return 0
	}
	p.Advance(at)
	before := p.True()
	p.Told("pull")
	return peak(p) - float64(before)
}
