package pot

import (
	"math"
	"testing"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// quiet is a pot of boiling water, whose temperature never moves.
func quiet(pc ProbeConfig) *Pot {
	cfg := DefaultConfig()
	cfg.Melt, cfg.Cream, cfg.StartsBoil = syrup.Mix{Water: 50000}, syrup.Mix{}, true
	cfg.Probe = pc
	return New(cfg)
}

// A first-order probe plunged into boiling water closes 63.2 % of the gap in
// one time constant and 90 % in 2.303 of them.
func TestProbeLagsFirstOrder(t *testing.T) {
	p := quiet(ProbeConfig{Every: time.Second, Lag: 8 * time.Second})
	p.probe.tip = 20
	for _, row := range []struct{ at, share float64 }{{8, 0.632}, {18.4, 0.9}} {
		p.Advance(time.Duration(row.at * float64(time.Second)))
		got := (float64(p.Read().C) - 20) / (float64(p.True()) - 20)
		if math.Abs(got-row.share) > 0.01 {
			t.Errorf("after %v s: %.3f of the step, want %.3f", row.at, got, row.share)
		}
	}
}

func TestProbeOffsetNoiseAndStep(t *testing.T) {
	p := quiet(ProbeConfig{Every: time.Second, Lag: time.Second, Offset: 1.2, Noise: 0.3})
	var n, sum, sq float64
	for at := time.Duration(0); at < time.Hour; at += time.Second {
		p.Advance(at)
		d := float64(p.Read().C - p.True())
		n, sum, sq = n+1, sum+d, sq+d*d
	}
	mean := sum / n
	if sd := math.Sqrt(sq/n - mean*mean); math.Abs(sd-0.3) > 0.02 || math.Abs(mean-1.2) > 0.03 {
		t.Errorf("reads %.3f K high with a spread of %.3f, want 1.2 and 0.3", mean, sd)
	}
	for _, pc := range []ProbeConfig{{Step: 0.5}, {Step: 1}, {Step: 1, Unit: probe.UnitF}, {Step: 0.0625}} {
		pc.Every, pc.Lag, pc.Noise = time.Second, time.Second, 0.4
		p := quiet(pc)
		for at := time.Duration(0); at < time.Minute; at += time.Second {
			p.Advance(at)
			v := pc.Unit.Of(p.Read().C) / pc.Step
			if math.Abs(v-math.Round(v)) > 1e-6 {
				t.Fatalf("step %v %v: %v is not on it", pc.Step, pc.Unit, p.Read().C)
			}
		}
	}
}

func TestProbeMishapsComeAsOftenAsTold(t *testing.T) {
	count := func(pc ProbeConfig, is func(r probe.Reading, p *Pot) bool) (n int) {
		pc.Every, pc.Lag = time.Second, time.Second
		p := quiet(pc)
		was := false
		for at := time.Duration(0); at < 2*time.Hour; at += time.Second {
			p.Advance(at)
			now := is(p.Read(), p)
			if now && !was {
				n++
			}
			was = now
		}
		return n
	}
	off := func(k float64) func(probe.Reading, *Pot) bool {
		return func(r probe.Reading, p *Pot) bool { return math.Abs(float64(r.C-p.True())) > k }
	}
	empty := func(r probe.Reading, _ *Pot) bool { return r.Fault == probe.FaultEmpty }
	for _, row := range []struct {
		name string
		n    int
	}{
		{"spikes", count(ProbeConfig{Spikes: 1}, off(4))},
		{"dropouts", count(ProbeConfig{Dropouts: 1}, empty)},
		{"dips", count(ProbeConfig{Dips: 1}, off(0.15))},
		{"lifts", count(ProbeConfig{Lifts: 1}, off(0.3))},
	} {
		// A mishap a minute, less the time that each takes: 120 less some.
		if row.n < 70 || row.n > 160 {
			t.Errorf("%s: %d in two hours at one a minute", row.name, row.n)
		}
	}
}
