package plateau_test

import (
	"fmt"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe/pot"
)

// burning is one dry melt in the simulated pot.
type burning struct {
	pot   pot.Config
	stops bool // taken off the heat in time to go no further than 175 °C

	warned float64 // s before 190 °C of true temperature; 0 for never
	rate   float64 // °C/s of true temperature over the 10 s before 190 °C
}

func (m *burning) run() {
	p := pot.New(m.pot)
	cfg := dipping()
	cfg.Pressure, cfg.Lag = m.pot.PressurePa, m.pot.Probe.Lag
	s := plateau.Start(cfg)
	p.Told("melt-start")
	s, _ = plateau.Step(s, plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkMeltStart})
	var a plateau.Advice
	warnedAt := time.Duration(0)
	var last [10]float64 // °C, by the second
	for at := m.pot.Probe.Every; at < 30*time.Minute; at += m.pot.Probe.Every {
		p.Advance(at)
		c := float64(p.True())
		if m.stops && p.OnHeat() && c > 160 && peakOff(p) >= 174.9 {
			p.Told("pull") // and the cook has no hand free to say so
		}
		s, a = plateau.Step(s, plateau.Reading(p.Read()))
		if warnedAt == 0 && a.Began.Has(plateau.Burn) {
			warnedAt = at
		}
		if c >= 190 {
			m.rate = (c - last[at/time.Second%10]) / 10
			if warnedAt > 0 {
				m.warned = (at - warnedAt).Seconds()
			}
			return
		}
		last[at/time.Second%10] = c
		if m.stops && !p.OnHeat() && c < 160 {
			break // it cools
		}
	}
	if warnedAt > 0 {
		m.warned = 1
	}
}

// peakOff is how hot the pot gets if it leaves the heat now, °C: its base goes
// on warming it for a while.
func peakOff(p *pot.Pot) float64 {
	off, peak := p.Clone(), 0.0
	off.Told("pull")
	for c := float64(off.True()); c > peak; c = float64(off.True()) {
		peak = c
		off.Advance(off.Now() + time.Second)
	}
	return peak
}

// TestBurn_inTheSimulatedPot melts a little sugar and much, on hobs from slow
// to 1 °C/s, with probes that lag up to 10 s, in pots that go on warming what is
// in them, with hot spots of some 5 K wandering round a tip in half-molten sugar.
func TestBurn_inTheSimulatedPot(t *testing.T) {
	t.Parallel()
	melts, slow, quick := 0, 0, 0
	for _, grams := range []float64{120, 200, 300, 400, 550} {
		for _, watts := range []float64{340, 525, 710, 900, 1100, 1275} {
			for _, lag := range []time.Duration{0, 3 * time.Second, 6 * time.Second, 10 * time.Second} {
				c := pot.DefaultConfig()
				c.Melt.Solutes, c.Watts, c.Level = grams, watts, 1
				c.Probe.Lag, c.Probe.Dips = lag, 0
				c.Seed = uint64(melts)
				name := fmt.Sprintf("%.0f g, %.0f W, lag %v, seed %d", grams, watts, lag, c.Seed)
				burnt := burning{pot: c}
				burnt.run()
				if burnt.rate > 1 {
					continue // faster than what is asked for
				}
				melts++
				least := 10.0
				if burnt.rate <= 0.5 {
					least = 20
					slow++
				} else if burnt.rate > 0.7 {
					quick++
				}
				if burnt.warned < least {
					t.Errorf("%s: at %.2f °C/s warned %.0f s before 190 °C, want %.0f", name, burnt.rate, burnt.warned, least)
				}
				stopped := burning{pot: c, stops: true}
				stopped.run()
				if stopped.warned != 0 {
					t.Errorf("%s: warned of a melt that was stopped at 175 °C", name)
				}
			}
		}
	}
	if t.Logf("%d melts, %d of them slow and %d quick", melts, slow, quick); melts < 100 || slow < 30 || quick < 8 {
		t.Errorf("%d melts, %d of them slow and %d quick: too few to say anything", melts, slow, quick)
	}
}
