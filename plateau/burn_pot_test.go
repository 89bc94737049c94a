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

// TestBurn_inTheSimulatedPot melts sugar on hobs from slow to 1 °C/s, with
// probes that lag up to 10 s, in pots that go on warming what is in them. Hot
// spots of some 5 K wander round a tip in half-molten sugar: one in twenty
// melts that are stopped at 175 °C may be warned of for theirs.
func TestBurn_inTheSimulatedPot(t *testing.T) {
	melts, slow, early := 0, 0, 0
	for _, watts := range []float64{450, 700, 950, 1300, 1700} {
		for _, lag := range []time.Duration{0, 3 * time.Second, 6 * time.Second, 10 * time.Second} {
			for seed := range uint64(3) {
				t.Run(fmt.Sprint(watts, lag, seed), func(t *testing.T) {
					c := pot.DefaultConfig()
					c.Watts, c.Probe.Lag, c.Seed, c.Probe.Dips = watts, lag, seed, 0
					burnt := burning{pot: c, stops: false}
					burnt.run()
					if burnt.rate > 1 {
						t.Skipf("%.2f °C/s is faster than what is asked for", burnt.rate)
					}
					melts++
					least := 10.0
					if burnt.rate <= 0.5 {
						least = 20
						slow++
					}
					if burnt.warned < least {
						t.Errorf("at %.2f °C/s warned %.0f s before 190 °C, want %.0f", burnt.rate, burnt.warned, least)
					}
					stopped := burning{pot: c, stops: true}
					stopped.run()
					if stopped.warned != 0 {
						early++
					}
				})
			}
		}
	}
	if t.Logf("%d melts, %d slow, %d warned of although stopped at 175 °C", melts, slow, early); early > melts/20 {
		t.Errorf("warned of %d of %d melts that were stopped at 175 °C", early, melts)
	}
	if melts < 30 || slow < 10 {
		t.Errorf("%d melts, %d of them slow: too few to say anything", melts, slow)
	}
}
