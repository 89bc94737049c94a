package main

import (
	"fmt"
	"io"
	"math"

	"boildown/probe"
	"boildown/syrup"
)

// steepest is the slope at the target up to which the pull is held to its bar.
var steepest = float64(probe.DeltaF(9))

func pullsOf(cooks []result) (out []result) {
	for _, r := range cooks {
		if !math.IsNaN(r.peakOff) {
			out = append(out, r)
		}
	}
	return out
}

func reportPull(w io.Writer, everyone, told []result) {
	fmt.Fprintf(w, "\nPULL, peak minus target in °F, probe lag removed\n")
	fmt.Fprintf(w, "%-40s %6s %8s %8s %8s %8s %8s %9s\n", "", "cooks", "median", "5th", "95th", "in ±1", "in ±2", "unprompted")
	line := func(name string, rs []result, in func(r result) bool, bar bool) {
		var off []float64
		silent := 0
		for _, r := range rs {
			if math.IsNaN(r.peakOff) || !in(r) {
				continue
			}
			off = append(off, probe.Delta(r.peakOff).F())
			if !r.prompted {
				silent++
			}
		}
		if len(off) == 0 {
			return
		}
		one := share(off, func(d float64) bool { return math.Abs(d) <= 1 })
		two := share(off, func(d float64) bool { return math.Abs(d) <= 2 })
		fmt.Fprintf(w, "%-40s %6d %8.2f %8.2f %8.2f %8s %8s %9d", name, len(off), median(off), quantile(off, .05), quantile(off, .95), percent(one), percent(two), silent)
		if bar {
			fmt.Fprintf(w, "  (bar 95%%, 99.5%%: %s)", met(one >= .95 && two >= .995))
		}
		fmt.Fprintln(w)
	}
	line("told lag, reaction, carry-over; ≤ 9 °F/min", told, func(r result) bool { return r.slope <= steepest }, true)
	line("the same, steeper", told, func(r result) bool { return r.slope > steepest }, false)
	others := everyone[:len(everyone)-len(told)]
	line("hard cooks, fine steps, ≤ 9 °F/min", others, func(r result) bool { return !r.h.Coarse() && r.slope <= steepest }, false)
	line("hard cooks, coarse steps, ≤ 9 °F/min", others, func(r result) bool { return r.h.Coarse() && r.slope <= steepest }, false)
	line("hard cooks, steeper", others, func(r result) bool { return r.slope > steepest }, false)
}

func reportNear(w io.Writer, cooks []result, name string) {
	var early []float64
	asked, missed, late, bent := 0, 0, 0, 0
	for _, r := range cooks {
		if !r.nearAsked {
			continue
		}
		asked++
		if r.nearMiss {
			missed++
			continue
		}
		early = append(early, r.nearEarly)
		if r.nearAhead >= 30 {
			continue
		}
		if late++; r.h.Config.Curve != syrup.StarzakPeacock {
			bent++
		}
	}
	if asked == 0 {
		return
	}
	soon := share(early, func(s float64) bool { return s <= 60 })
	fmt.Fprintf(w, "\nNEAR-TARGET ALERT, %s: %d cooks, missed %d (bar 0: %s), under 30 s ahead %d (bar 0: %s; %d of them boil by a curve that the program does not hold with), not over 60 s too early %s (bar 95%%: %s); early by median %.0f s, 95th %.0f s\n",
		name, asked, missed, met(missed == 0), late, met(late == 0), bent, percent(soon), met(soon >= .95), median(early), quantile(early, .95))
}
