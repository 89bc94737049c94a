package main

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

// mishap is one thing that goes wrong with a probe: what it shows s seconds
// after that began, of a pot at c.
type mishap struct {
	name string
	want probe.Fault // what it is called, in the end
	does string      // a word of what the cook is told to do
	show func(s float64, c float64, rnd *rand.Rand) probe.Reading
}

func shows(c float64) probe.Reading            { return probe.Reading{C: probe.Celsius(math.Round(c*10) / 10)} }
func says(f probe.Fault) probe.Reading         { return probe.Reading{Fault: f} }
func towards(from, to, s, tau float64) float64 { return to + (from-to)*math.Exp(-s/tau) }

var mishaps = []mishap{
	{"open thermocouple", probe.FaultOpen, "change the lead", func(float64, float64, *rand.Rand) probe.Reading { return says(probe.FaultOpen) }},
	{"shorted thermocouple", probe.FaultShort, "change the lead", func(float64, float64, *rand.Rand) probe.Reading { return says(probe.FaultShort) }},
	{"over range", probe.FaultOverRange, "plug and lead", func(float64, float64, *rand.Rand) probe.Reading { return says(probe.FaultOverRange) }},
	{"an instrument's own error", probe.FaultReported, "display", func(float64, float64, *rand.Rand) probe.Reading { return says(probe.FaultReported) }},
	{"85 °C power-on value", probe.FaultPowerOn, "plug", func(float64, float64, *rand.Rand) probe.Reading { return shows(85) }},
	{"frozen value", probe.FaultFrozen, "plug", nil}, // shows the last reading for ever
	{"jump", probe.FaultJump, "channel", func(_, c float64, _ *rand.Rand) probe.Reading { return shows(c - 31) }},
	{"°F read as °C", probe.FaultUnit, "--probe-unit F", func(_, c float64, _ *rand.Rand) probe.Reading { return shows(c*1.8 + 32) }},
	{"a register ten times too high", probe.FaultImpossible, "register", func(_, c float64, _ *rand.Rand) probe.Reading { return shows(c * 10) }},
	{"a register of the room", probe.FaultJump, "channel", func(_, _ float64, _ *rand.Rand) probe.Reading { return shows(24.5) }},
	{"lifted out of the pot", probe.FaultLifted, "back into the syrup", func(s, c float64, _ *rand.Rand) probe.Reading { return shows(towards(c, 45, s, 9)) }},
	{"not reaching the syrup", probe.FaultUncovered, "deeper or tilt", func(s, c float64, rnd *rand.Rand) probe.Reading {
		return shows(towards(c, 99.4, s, 5) + 0.3*rnd.NormFloat64())
	}},
	{"tip on the bottom", probe.FaultBottom, "off the bottom", func(s, c float64, rnd *rand.Rand) probe.Reading {
		since := math.Mod(s, 9) // somebody stirs each nine seconds
		return shows(towards(c, c+14, since, 2.5) + 0.2*rnd.NormFloat64())
	}},
	{"noise of an induction hob", probe.FaultNoise, "away from the hob", func(_, c float64, rnd *rand.Rand) probe.Reading { return shows(c + 7*rnd.NormFloat64()) }},
}

// faultRun is what became of a mishap.
type faultRun struct {
	named   map[probe.Fault]int
	texts   []string
	asked   time.Duration // when the probe prompt began, after the mishap did; -1 for never
	clearBy time.Duration // after its end, until readings are used and the prompt is gone; -1 for never
	worst   float64       // largest error of a forecast made during it, as a share of the time left
	kept    bool          // every number that came is in the advice, as it is on record
	pullC   float64       // of the pot when the pull was raised, °C; absurdly low for never
}

// inject cooks the invented batch with a mishap that begins once begin holds
// and lasts that long.
func inject(m mishap, begin func(a plateau.Advice) bool, lasts time.Duration) faultRun {
	out := faultRun{named: map[probe.Fault]int{}, asked: -1, clearBy: -1, kept: true}
	rnd := rand.New(rand.NewPCG(7, 7))
	var from time.Duration = -1
	var hit bool
	var last probe.Celsius
	var latest, before plateau.Advice
	var vessel *pot.Pot
	v := market()
	v.bend = func(at time.Duration, r probe.Reading, p *pot.Pot) probe.Reading {
		vessel = p
		if from < 0 && latest.Phase >= plateau.Stall && begin(latest) {
			from, before = at, latest
		}
		hit = from >= 0 && at < from+lasts
		if !hit {
			last = r.C
			return r
		}
		is := shows(float64(last))
		if m.show != nil {
			is = m.show((at - from).Seconds(), float64(r.C), rnd)
		}
		is.At = at
		return is
	}
	v.each = func(in plateau.Input, a plateau.Advice) {
		latest = a
		if a.Began.Has(plateau.PullNow) && out.pullC == 0 {
			out.pullC = float64(vessel.True())
		}
		if from < 0 || in.Kind != plateau.Measured {
			return
		}
		if hit {
			out.named[a.Fault]++
			if f := before.Forecast; f.Ok() && a.Forecast.Ok() {
				left := f.ETA - (in.At - before.At) // as it stood before, run on by the clock
				out.worst = max(out.worst, math.Abs((a.Forecast.ETA-left).Seconds())/left.Seconds())
			}
			out.kept = out.kept && (a.HasC || in.Fault != probe.FaultNone)
			if a.Began.Has(plateau.ProbeFault) && out.asked < 0 {
				out.asked = in.At - from
			}
			if a.Standing.Has(plateau.ProbeFault) {
				out.texts = append(out.texts, plateau.ProbeFault.Text(a, probe.UnitF))
			}
		} else if out.clearBy < 0 && a.Fault == probe.FaultNone && a.Doubt == probe.FaultNone && !a.Standing.Has(plateau.ProbeFault) {
			out.clearBy = in.At - from - lasts
		}
	}
	v.cook()
	return out
}

// Deep in the stall, forty seconds of it.
func TestMishaps_stall(t *testing.T) {
	undisturbed := inject(mishap{}, func(plateau.Advice) bool { return false }, 0)
	for _, m := range mishaps {
		t.Run(m.name, func(t *testing.T) {
			lasts := 40 * time.Second
			if m.want == probe.FaultFrozen {
				lasts = 100 * time.Second // on the stall honest readings stand still too
			}
			got := inject(m, func(a plateau.Advice) bool { return a.Stalled && a.Now > probe.Fahrenheit(221) }, lasts)
			got.told(t, m)
			if m.want != probe.FaultFrozen && got.asked > 25*time.Second {
				t.Errorf("the cook was told after %v", got.asked)
			}
			if got.clearBy < 0 || got.clearBy > 10*time.Second {
				t.Errorf("cleared %v after its end", got.clearBy)
			}
			most := 0.5
			if m.want == probe.FaultFrozen || m.want == probe.FaultBottom {
				most = 1.1 // their first seconds are what a pot may do as well
			}
			if got.worst > most {
				t.Errorf("a forecast during it was %.0f %% of the time left off", 100*got.worst)
			}
			if off := got.pullF() - undisturbed.pullF(); math.Abs(off) > 1 {
				t.Errorf("the pull came %+.2f °F from where it comes undisturbed", off)
			}
		})
	}
}

// From 7 °F under the target on until long past it: the pull must come all the
// same, by guess and rather early, and the alarm at once.
func TestMishaps_nearTarget(t *testing.T) {
	for _, m := range mishaps {
		t.Run(m.name, func(t *testing.T) {
			got := inject(m, func(a plateau.Advice) bool { return a.Now > probe.Fahrenheit(228) }, 4*time.Minute)
			got.told(t, m)
			if soon := 5 * time.Second; m.want != probe.FaultFrozen && got.asked > soon {
				t.Errorf("the cook was told after %v, more than %v", got.asked, soon)
			}
			if off := got.pullF(); !(off > -6 && off < 1) {
				t.Errorf("pull %+.2f °F off the target", off)
			}
		})
	}
}

// told checks what every mishap must lead to.
func (got faultRun) told(t *testing.T, m mishap) {
	t.Helper()
	if got.named[m.want] == 0 {
		t.Errorf("called %v, never %q", got.named, m.want)
	}
	if !slices.ContainsFunc(got.texts, func(s string) bool { return strings.Contains(s, m.want.String()+".") && strings.Contains(s, m.does) }) {
		t.Errorf("no prompt names it and says %q: %q", m.does, slices.Compact(got.texts))
	}
	if !got.kept {
		t.Error("a number that came is nowhere")
	}
}

// pullF is where the pot was at the pull, °F from the target.
func (got faultRun) pullF() float64 {
	return (got.pullC - float64(probe.Fahrenheit(235))) * 1.8
}
