package plateau_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

// batchInputs is the simulated market-stall batch from cold sugar to the end of
// the dip, read so often, with the cook's marks.
func batchInputs(every time.Duration) (plateau.Config, []plateau.Input) {
	cfg := pot.DefaultConfig()
	cfg.Probe.Every = every
	told := plateau.Config{Target: probe.Fahrenheit(235), Pressure: cfg.PressurePa, Lag: cfg.Probe.Lag,
		Batch: plateau.Batch{Melt: cfg.Melt, Cream: cfg.Cream, PotJK: cfg.PotJK}}
	p, cook, s := pot.New(cfg), pot.NewCook(), plateau.Start(told)
	var ins []plateau.Input
	tell := func(in plateau.Input) {
		ins = append(ins, in)
		var a plateau.Advice
		s, a = plateau.Step(s, in)
		for prompt := range a.Began.All {
			cook.Hear(prompt.String())
		}
	}
	for at := time.Duration(0); !cook.Done() && at < 2*time.Hour; at += every {
		p.Advance(at)
		r := p.Read()
		r.At = at
		if word := cook.Watch(at, r, p.Look()); word != "" {
			m, _ := plateau.MarkFor(word)
			p.Told(word)
			tell(plateau.Input{Kind: plateau.Marked, At: at, Mark: m})
		}
		tell(plateau.Reading(r))
	}
	return told, ins
}

// BenchmarkStep folds a whole batch at each rate. A slow probe's readings cost
// more each, since the line is drawn through seconds.
func BenchmarkStep(b *testing.B) {
	for _, hz := range []int{1, 4, 10} {
		b.Run(fmt.Sprintf("%dHz", hz), func(b *testing.B) {
			cfg, ins := batchInputs(time.Second / time.Duration(hz))
			benchmarkSteps(b, plateau.Start(cfg), ins)
		})
	}
}

// BenchmarkStepStall is the dearest stretch alone: a pot that creeps through
// its stall and never gets to its target.
func BenchmarkStepStall(b *testing.B) {
	for _, hz := range []int{1, 4, 10} {
		b.Run(fmt.Sprintf("%dHz", hz), func(b *testing.B) {
			s, ins := stallInputs(time.Hour, time.Second/time.Duration(hz))
			benchmarkSteps(b, s, ins)
		})
	}
}

func benchmarkSteps(b *testing.B, start plateau.State, ins []plateau.Input) {
	b.ReportAllocs()
	s, i, cpu := start, 0, cpuTime()
	for b.Loop() {
		s, _ = plateau.Step(s, ins[i])
		if i++; i == len(ins) {
			i, s = 0, start
		}
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "steps/s")
	if cpu = cpuTime() - cpu; cpu > 0 { // on a busy machine the only figure that counts
		b.ReportMetric(float64(b.N)/cpu.Seconds(), "steps/cpu-s")
	}
}

// BenchmarkFold folds the same batch in place, as a review and a replay do.
func BenchmarkFold(b *testing.B) {
	for _, hz := range []int{1, 4, 10} {
		b.Run(fmt.Sprintf("%dHz", hz), func(b *testing.B) {
			cfg, ins := batchInputs(time.Second / time.Duration(hz))
			b.ReportAllocs()
			steps, cpu := 0, cpuTime()
			for b.Loop() {
				for range plateau.Fold(plateau.Start(cfg), slices.Values(ins)) {
					steps++
				}
			}
			b.ReportMetric(float64(steps)/b.Elapsed().Seconds(), "steps/s")
			b.ReportMetric(float64(steps)/(cpuTime()-cpu).Seconds(), "steps/cpu-s")
		})
	}
}

// BenchmarkFold8h10Hz folds a whole working day of readings.
func BenchmarkFold8h10Hz(b *testing.B) {
	start, ins := stallInputs(8*time.Hour, 100*time.Millisecond)
	b.ReportAllocs()
	cpu := cpuTime()
	for b.Loop() {
		for range plateau.Fold(start, slices.Values(ins)) {
		}
	}
	b.ReportMetric((cpuTime()-cpu).Seconds()/float64(b.N), "cpu-s/op")
}

// stallInputs is a pot kept in its stall for so long: its heat is turned down
// to what its losses take, as a cook does who waits, and the probe's noise and
// the stirring go on.
func stallInputs(long, every time.Duration) (plateau.State, []plateau.Input) {
	cfg := pot.DefaultConfig()
	cfg.Probe.Every, cfg.StartsBoil, cfg.Level = every, true, 0.14
	p := pot.New(cfg)
	s := plateau.Start(plateau.Config{Target: probe.Fahrenheit(235), Pressure: cfg.PressurePa, Lag: cfg.Probe.Lag})
	for _, m := range []plateau.Mark{plateau.MarkCreamStart, plateau.MarkCreamEnd} {
		s, _ = plateau.Step(s, plateau.Input{Kind: plateau.Marked, Mark: m})
	}
	ins := make([]plateau.Input, 0, long/every)
	for at := time.Duration(0); at < long; at += every {
		p.Advance(at)
		r := p.Read()
		r.At = at
		ins = append(ins, plateau.Reading(r))
	}
	return s, ins
}
