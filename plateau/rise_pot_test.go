package plateau_test

import (
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe/pot"
	"boildown/syrup"
)

// risen cooks one simulated batch, marked, up to the pull and returns when it
// was said that this heat will not do, first; 0 for never. turned is done as
// the stall is four minutes old.
func risen(c pot.Config, turned func(p *pot.Pot)) (said, turnedAt time.Duration, pulled bool) {
	p := pot.New(c)
	cfg := dipping()
	cfg.Pressure, cfg.Lag = 0, c.Probe.Lag
	s := plateau.Start(cfg)
	mark := func(m plateau.Mark) {
		p.Told(m.String())
		s, _ = plateau.Step(s, plateau.Input{Kind: plateau.Marked, At: p.Now(), Mark: m})
	}
	mark(plateau.MarkMeltStart)
	var boiledAt time.Duration
	creamed := false
	for at := c.Probe.Every; at < 2*time.Hour; at += c.Probe.Every {
		p.Advance(at)
		switch {
		case !creamed && p.True() > 174:
			mark(plateau.MarkCreamStart)
			creamed = true
		case creamed && p.JugG() == 0 && boiledAt == 0:
			mark(plateau.MarkCreamEnd)
			boiledAt = at
		case boiledAt > 0 && turnedAt == 0 && at > boiledAt+4*time.Minute && turned != nil:
			turned(p)
			turnedAt = at
		}
		var a plateau.Advice
		s, a = plateau.Step(s, plateau.Reading(p.Read()))
		if said == 0 && a.Began.Has(plateau.NotRising) {
			said = at
		}
		if a.Began.Has(plateau.PullNow) {
			return said, turnedAt, true
		}
	}
	return said, turnedAt, false
}

// A batch on its way is not told to turn up its heat, however coarse and rough
// its probe.
func TestNoMoreHeatIsAskedOnTheWay(t *testing.T) {
	for _, step := range []float64{0.5, 1} {
		for seed := range uint64(8) {
			c := pot.DefaultConfig()
			c.Seed, c.Probe.Step, c.Probe.Noise, c.Probe.Every = seed, step, 0.3, 2*time.Second
			c.Cycle = 40 * time.Second
			c.PressurePa = syrup.StandardPressure - 400*float64(seed)
			said, _, pulled := risen(c, nil)
			if said > 0 || !pulled {
				t.Errorf("steps of %v, seed %d: told at %v, pulled %v", step, seed, said, pulled)
			}
		}
	}
}

// A heat that does little more than keep the pot where it is will not do, and
// that is said once the readings bear it out.
func TestMoreHeatIsAsked(t *testing.T) {
	for seed := range uint64(4) {
		c := pot.DefaultConfig()
		c.Seed = seed
		said, turned, pulled := risen(c, func(p *pot.Pot) { p.SetHeat(0.13) })
		if pulled || said < turned || said > turned+10*time.Minute {
			t.Errorf("seed %d: turned at %v, told at %v, pulled %v", seed, turned, said, pulled)
		}
	}
}
