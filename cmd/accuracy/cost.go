package main

import (
	"fmt"
	"io"
	"time"

	"boildown/plateau"
	"boildown/probe/pot"
)

// recorder keeps the inputs of a cook and passes them on.
type recorder struct {
	fold
	inputs []plateau.Input
}

func (r *recorder) step(in plateau.Input) plateau.Advice {
	r.inputs = append(r.inputs, in)
	return r.fold.step(in)
}

// reportCost steps a few whole cooks on one core as fast as it goes.
func reportCost(w io.Writer, seed uint64) {
	var steps int
	var took time.Duration
	for n := 0; steps < 400_000; n++ {
		h := pot.HardCook(seed, n)
		if !h.Kind.Arrives() {
			continue
		}
		cfg := told(h, 0)
		r := &recorder{fold: fold{plateau.Start(cfg)}}
		cook(h, r, nil)
		begin := time.Now()
		s := plateau.Start(cfg)
		for _, in := range r.inputs {
			s, _ = plateau.Step(s, in)
		}
		took += time.Since(begin)
		steps += len(r.inputs)
	}
	rate := float64(steps) / took.Seconds()
	fmt.Fprintf(w, "\ncost: %.2f million steps a second on one core (bar 1.00: %s)\n", rate/1e6, met(rate >= 1e6))
}
