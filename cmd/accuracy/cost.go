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

// stretch is how many steps are timed at once: some milliseconds, so that on a
// busy machine many stretches run undisturbed.
const stretch = 2000

// reportCost steps whole cooks, melt and all, on one core. It prints the rate
// of the fastest tenth of the stretches, which nothing else slowed down, and
// the median as a sign of how busy the machine was.
func reportCost(w io.Writer, seed uint64) {
	var rates []float64
	for n := 0; len(rates) < 150; n++ {
		h := pot.HardCook(seed, n)
		if !h.Kind.Arrives() {
			continue
		}
		cfg := told(h, 0)
		r := &recorder{fold: fold{plateau.Start(cfg)}}
		cook(h, r, nil)
		s := plateau.Start(cfg)
		for len(r.inputs) >= stretch {
			begin := time.Now()
			for _, in := range r.inputs[:stretch] {
				s, _ = plateau.Step(s, in)
			}
			rates = append(rates, stretch/time.Since(begin).Seconds())
			r.inputs = r.inputs[stretch:]
		}
	}
	rate := quantile(rates, .9)
	fmt.Fprintf(w, "\ncost: %.2f million steps a second on one core, undisturbed; median %.2f (bar 1.00: %s)\n", rate/1e6, median(rates)/1e6, met(rate >= 1e6))
}
