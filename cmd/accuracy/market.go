package main

import (
	"fmt"
	"io"
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
	"boildown/syrup"
)

// market is the invented market-stall batch as a cook of the corpus: marked,
// the pressure and the lag known, boiled to 235 °F at steady heat.
func market(c syrup.Curve, cycle time.Duration) pot.Hard {
	cfg := pot.DefaultConfig()
	cfg.Curve, cfg.Cycle = c, cycle
	return pot.Hard{
		Kind: pot.Whole, Config: cfg, Target: probe.Fahrenheit(235), Reaction: 2 * time.Second,
		Told: pot.Told{PressurePa: cfg.PressurePa, Lag: cfg.Probe.Lag, Recipe: true, Marks: true, HeatMarks: true, CarryOver: true},
	}
}

// marketFigures are what a person would ask about one batch.
type marketFigures struct {
	stallDelay float64 // s
	answered   float64 // share of the readings from two minutes into the stall on
	typical    float64 // median error there, as a share of the time left
	worst      float64 // largest error there with at least 30 s left
	limit      float64 // the same of limit (c)
	pullF      float64 // the pot at the pull prompt less the target, °F
	peakF      float64 // its peak less the target, °F
}

func marketBatch(h pot.Hard) marketFigures {
	o := cook(h, &fold{plateau.Start(told(h, carryOver(h)))}, nil)
	r := measure(o)
	f := marketFigures{stallDelay: r.stallDelay, pullF: nan, peakF: probe.Delta(r.peakOff).F()}
	var errs, least []float64
	all := toldAll(o)
	got := 0
	for _, w := range o.rows {
		if o.prompted && w.at <= o.pulled-h.Reaction.Seconds() {
			f.pullF = probe.Delta(w.trueC - float64(h.Target)).F()
		}
		if !(w.left >= 30) || w.at < o.boils+120 {
			continue
		}
		if !math.IsNaN(w.eta) {
			got++
		}
		errs = append(errs, wrong(w.eta, w.left))
		least = append(least, wrong(all.forecast(w.at), w.left))
	}
	f.answered = float64(got) / float64(len(errs))
	f.typical, f.worst, f.limit = median(errs), quantile(errs, 1), quantile(least, 1)
	return f
}

// reportMarket prints the default batch under each published curve, on a
// steady and on a cycling hob.
func reportMarket(w io.Writer) {
	fmt.Fprintf(w, "\nTHE MARKET-STALL BATCH (invented), 235 °F, from two minutes into the stall to 30 s before the target\n")
	fmt.Fprintf(w, "%-18s %-12s %8s %9s %8s %8s %8s %10s %10s\n", "pot boils by", "hob", "stall", "answered", "median", "worst", "of (c)", "pull at", "peak at")
	for c := syrup.StarzakPeacock; c <= syrup.CaneSugar; c++ {
		for _, cycle := range []time.Duration{0, 25 * time.Second} {
			hob := "steady"
			if cycle > 0 {
				hob = "on 75%, " + cycle.String()
			}
			f := marketBatch(market(c, cycle))
			fmt.Fprintf(w, "%-18s %-12s %6.0f s %9s %8s %8s %8s %+7.2f °F %+7.2f °F\n", c, hob, f.stallDelay, percent(f.answered), percent(f.typical), percent(f.worst), percent(f.limit), f.pullF, f.peakF)
		}
	}
}
