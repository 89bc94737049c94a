package plateau

import (
	"math"
	"testing"
	"time"

	"boildown/probe"
	"boildown/probe/pot"
)

// A cold creaming in the simulated pot tells the hob's power from how the pot
// recovers after each portion, whatever the melt made of it: the last crystals
// swallow heat, so that its slope tells too little.
func TestCream_powerFromTheRecovery(t *testing.T) {
	for _, watts := range []float64{450, 700, 1000, 1300} {
		c := pot.DefaultConfig()
		c.Watts, c.Level, c.CreamC, c.Probe.Dips = watts, 1, 12, 0
		p := pot.New(c)
		s := Start(Config{Target: probe.Fahrenheit(235), Pressure: c.PressurePa, Lag: c.Probe.Lag,
			Batch: Batch{Melt: c.Melt, Cream: c.Cream, PotJK: c.PotJK, CreamC: c.CreamC}})
		told := func(m Mark) { s, _ = Step(s, Input{Kind: Marked, At: p.Now(), Mark: m}) }
		p.Told("melt-start")
		told(MarkMeltStart)
		for p.True() < 172 || p.Look().Dry > 0 {
			p.Advance(p.Now() + time.Second)
			s, _ = Step(s, Reading(p.Read()))
		}
		told(MarkCrystalsGone)
		told(MarkCreamStart)
		first, top := s.cream.watts, s.cream.top
		for jug := p.JugG(); p.JugG() > 0 && !s.cream.offer.all; {
			o := s.cream.offer
			if in := jug - p.JugG(); o.open && in < o.from+o.g {
				p.Told("cream-start")
			} else {
				p.Undo("cream-start")
			}
			p.Advance(p.Now() + time.Second)
			s, _ = Step(s, Reading(p.Read()))
		}
		net := watts - c.LossWK*(top-c.Room)
		if got := s.cream.watts; math.Abs(got/net-1) > 0.3 {
			t.Errorf("a hob of %.0f W, net %.0f at %.0f °C: %.0f W, from %.0f by the melt", watts, net, top, got, first)
		}
		if sd := s.cream.sd(ofWatts); sd > 0.6*unsurePower*first {
			t.Errorf("a hob of %.0f W: still unsure by %.0f W", watts, sd)
		}
	}
}
