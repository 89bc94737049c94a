package plateau

import (
	"math"
	"testing"
	"time"

	"boildown/probe"
)

// boilInputs is n readings of a pot that creeps through its stall towards the
// target and never gets there, so that every reading costs what one costs on
// the stall.
func boilInputs(n int, every time.Duration) (State, []Input) {
	s := Start(Config{Target: probe.Fahrenheit(235), Pressure: 101325, Lag: 3 * time.Second})
	s, _ = Step(s, Input{Kind: Marked, Mark: MarkCreamStart})
	s, _ = Step(s, Input{Kind: Marked, Mark: MarkCreamEnd})
	ins := make([]Input, n)
	for i := range ins {
		at := time.Duration(i+1) * every
		c := 103.5 + 3*(1-math.Exp(-at.Hours())) + 0.05*math.Sin(float64(i)*1.7)
		ins[i] = Reading(probe.Reading{At: at, C: probe.Celsius(c)})
	}
	return s, ins
}

func benchmarkStep(b *testing.B, every time.Duration) {
	s, ins := boilInputs(36000, every)
	b.ReportAllocs()
	i := 0
	cur := s
	for b.Loop() {
		cur, _ = Step(cur, ins[i])
		if i++; i == len(ins) {
			i, cur = 0, s
		}
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "steps/s")
}

func BenchmarkStep1Hz(b *testing.B)  { benchmarkStep(b, time.Second) }
func BenchmarkStep10Hz(b *testing.B) { benchmarkStep(b, 100*time.Millisecond) }

// BenchmarkFold8h10Hz folds a whole working day of readings.
func BenchmarkFold8h10Hz(b *testing.B) {
	s, ins := boilInputs(8*36000, 100*time.Millisecond)
	b.ReportAllocs()
	for b.Loop() {
		cur := s
		for i := range ins {
			cur, _ = Step(cur, ins[i])
		}
	}
}
