package main

import (
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

// invented is the market-stall batch as tests cook it: the simulated pot, the
// scripted cook and the fold, without a clock.
type invented struct {
	fold  plateau.Config
	every time.Duration
	bend  func(at time.Duration, r probe.Reading, p *pot.Pot) probe.Reading // what the cable makes of a reading; nil for nothing
	deaf  bool                                                              // the cook never pulls
	each  func(plateau.Input, plateau.Advice)
}

// market is the batch with all that can be told to the fold told.
func market() invented {
	cfg := pot.DefaultConfig()
	fold := freshConfig()
	fold.Batch = plateau.Batch{Melt: cfg.Melt, Cream: cfg.Cream, PotJK: cfg.PotJK}
	fold.Pressure, fold.Lag = cfg.PressurePa, cfg.Probe.Lag
	return invented{fold: fold, every: 250 * time.Millisecond}
}

// cook runs the batch to its end and returns its pot.
func (v invented) cook() *pot.Pot {
	p, hand, s := pot.New(pot.DefaultConfig()), pot.NewCook(), plateau.Start(v.fold)
	hand.Target = v.fold.Target
	hand.LowerAt = hand.Target - probe.Celsius(probe.DeltaF(7))
	step := func(in plateau.Input) {
		var a plateau.Advice
		s, a = plateau.Step(s, in)
		for prompt := range a.Began.All {
			hand.Hear(prompt.String())
		}
		if v.each != nil {
			v.each(in, a)
		}
	}
	for at := time.Duration(0); at < time.Hour && !hand.Done(); at += v.every {
		p.Advance(at)
		r := p.Read()
		r.At = at
		word := hand.Watch(at, r, p.Look())
		if v.bend != nil {
			r = v.bend(at, r, p)
		}
		step(plateau.Reading(r))
		if m, ok := plateau.MarkFor(word); ok && !(v.deaf && m == plateau.MarkPull) {
			p.Told(word)
			step(plateau.Input{Kind: plateau.Marked, At: at, Mark: m})
		}
	}
	return p
}
