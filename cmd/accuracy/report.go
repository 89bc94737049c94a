package main

import (
	"fmt"
	"io"
	"math"
	"time"

	"boildown/probe"
	"boildown/probe/pot"
)

func met(ok bool) string {
	if ok {
		return "met"
	}
	return "NOT MET"
}

func percent(v float64) string {
	switch {
	case math.IsNaN(v):
		return "–"
	case v >= 9.995:
		return fmt.Sprintf("%.0fx", v)
	}
	return fmt.Sprintf("%.1f%%", 100*v)
}

// report prints the tables.
func report(w io.Writer, cooks, pulls []result) {
	reportStall(w, cooks)
	reportAnswers(w, cooks)
	reportPoints(w, cooks)
	reportLine(w, cooks)
	reportSlices(w, cooks)
	reportChanges(w, cooks)
	reportPull(w, append(pullsOf(cooks), pulls...), pulls)
	reportNear(w, cooks, "hard cooks")
	reportNear(w, pulls, "pull cooks")
}

func reportStall(w io.Writer, cooks []result) {
	fmt.Fprintf(w, "\nSTALL RECOGNISED, seconds after the whole pot boils; the first share counts a stall that was said too early and still stands, the second does not\n")
	fmt.Fprintf(w, "%-22s %6s %8s %8s %8s %8s %8s %10s\n", "", "cooks", "median", "95th", "in time", "nor early", "limit", "bar 95%")
	for _, row := range []struct {
		name  string
		limit float64
		in    func(h pot.Hard) bool
	}{
		{"cream marked, 30 s", 30, func(h pot.Hard) bool { return h.Told.Marks }},
		{"nothing marked, 120 s", 120, func(h pot.Hard) bool { return !h.Told.Marks }},
	} {
		for _, part := range onsetParts {
			onsetRow(w, cooks, row.name, row.limit, part, row.in)
		}
	}
	falseMarked, falseOther, simmers, water := 0, 0, 0, 0
	var early [2]int
	for _, r := range cooks {
		marked := 0
		if r.h.Told.Marks {
			marked = 1
		}
		switch {
		case r.stallFalse && marked == 1:
			falseMarked++
			if r.h.Kind.Arrives() {
				simmers++
			}
		case r.stallFalse:
			falseOther++
		case r.stallEarly:
			early[marked]++
		}
		if r.h.Kind == pot.Water && marked == 0 && r.pretended > 0 {
			water++
		}
	}
	fmt.Fprintf(w, "false stalls in cooks without one: marked %d (bar 0: %s), of which pots that simmer their water off and never boil as a whole %d; unmarked %d\n", falseMarked, met(falseMarked == 0), simmers, falseOther)
	fmt.Fprintf(w, "said over 15 s before the whole pot boils: marked %d, unmarked %d\n", early[1], early[0])
	fmt.Fprintf(w, "unmarked pots of plain water that got a forecast: %d (bar 0: %s)\n", water, met(water == 0))
}

func reportAnswers(w io.Writer, cooks []result) {
	fmt.Fprintf(w, "\nANSWERS, share of readings with a forecast, from 60 s into the stall (mean over cooks)\n")
	for _, row := range []struct {
		name string
		bar  float64
		in   func(h pot.Hard) bool
	}{
		{"fine steps, can reach the target", .95, func(h pot.Hard) bool { return !h.Coarse() }},
		{"0.5 °C, 1 °C, 1 °F, can reach it", .80, pot.Hard.Coarse},
	} {
		var v []float64
		for _, r := range cooks {
			if row.in(r.h) && r.due > 0 {
				v = append(v, float64(r.answered)/float64(r.due))
			}
		}
		fmt.Fprintf(w, "%-34s %5d cooks %7s (bar ≥ %.0f%%: %s)\n", row.name, len(v), percent(mean(v)), 100*row.bar, met(mean(v) >= row.bar))
	}
	var jumps []float64
	for _, r := range cooks {
		if r.answered > 0 {
			jumps = append(jumps, float64(r.jumps))
		}
	}
	fmt.Fprintf(w, "jumps of the forecast by over 30 %% of the time left, at steady heat: %.1f a cook, median %.0f\n", mean(jumps), median(jumps))
	var no []float64
	for _, r := range cooks {
		if r.cannot > 0 {
			no = append(no, float64(r.pretended)/float64(r.cannot))
		}
	}
	fmt.Fprintf(w, "%-34s %5d cooks %7s (bar ≤ 2%%: %s)\n", "cannot reach it", len(no), percent(mean(no)), met(mean(no) <= .02))
	for k := pot.Whole; k <= pot.Endless; k++ {
		var v []float64
		for _, r := range cooks {
			if r.h.Kind == k && r.cannot > 0 {
				v = append(v, float64(r.pretended)/float64(r.cannot))
			}
		}
		if len(v) > 0 {
			fmt.Fprintf(w, "   %-31s %5d cooks %7s\n", "of these "+k.String(), len(v), percent(mean(v)))
		}
	}
}

// onsetParts are the parts of the corpus in which the onset is shown.
var onsetParts = []slice{
	all[0],
	{"fine steps", func(h pot.Hard) bool { return !h.Coarse() }},
	{"0.5 °C, 1 °F", func(h pot.Hard) bool { return h.Coarse() && stepK(h) < 0.9 }},
	{"1 °C", func(h pot.Hard) bool { return stepK(h) > 0.9 }},
	{"lag over 5 s", func(h pot.Hard) bool { return h.Config.Probe.Lag > 5*time.Second }},
	{"over 1.2 kg", func(h pot.Hard) bool { return h.Config.Melt.Solutes > 1200 }},
	{"calibrated", pot.Hard.Calibrated},
}

// onsetRow prints how a part of the cooks was recognised to boil.
func onsetRow(w io.Writer, cooks []result, name string, limit float64, part slice, in func(pot.Hard) bool) {
	var d, best []float64
	good := 0
	for _, r := range cooks {
		if !r.stallAsked || !in(r.h) || !part.in(r.h) {
			continue
		}
		d, best = append(d, r.stallDelay), append(best, r.stallLimit)
		if r.stallDelay <= limit && !r.stallEarly {
			good++
		}
	}
	if len(d) == 0 {
		return
	}
	soon := func(s float64) bool { return s <= limit }
	ok, verdict := share(d, soon), ""
	if part.name == all[0].name {
		verdict = met(ok >= .95)
	} else {
		name = "   " + part.name
	}
	fmt.Fprintf(w, "%-22s %6d %8.0f %8.0f %8s %8s %8s %10s\n", name, len(d), median(d), quantile(d, .95),
		percent(ok), percent(float64(good)/float64(len(d))), percent(share(best, soon)), verdict)
}

// stepK is the probe's step, K.
func stepK(h pot.Hard) float64 {
	if h.Config.Probe.Unit == probe.UnitF {
		return h.Config.Probe.Step / 1.8
	}
	return h.Config.Probe.Step
}

var pointNames = [points]string{"stall + 60 s", "half-way", "5 min left", "2 min left", "1 min left", "30 s left"}

// errorsAt collects a method's errors at a fixed point.
func errorsAt(cooks []result, k, method int, in func(pot.Hard) bool) (v []float64) {
	for _, r := range cooks {
		if in(r.h) && r.point[k].valid {
			v = append(v, r.point[k].err[method])
		}
	}
	return v
}

func reportPoints(w io.Writer, cooks []result) {
	fmt.Fprintf(w, "\nFORECAST ERROR as a share of the time left, median / 90th percentile, calibrated slice\n")
	fmt.Fprintf(w, "%-13s %5s %15s %15s %15s %15s %15s %15s  %s\n", "", "cooks", "boildown", "line 30 s", "line 120 s", "quadratic", "limit (c)", "limit (d)", "bar")
	for k := range points {
		n := len(errorsAt(cooks, k, us, pot.Hard.Calibrated))
		fmt.Fprintf(w, "%-13s %5d", pointNames[k], n)
		var med, p90 [methods]float64
		for m := range methods {
			v := errorsAt(cooks, k, m, pot.Hard.Calibrated)
			med[m], p90[m] = median(v), quantile(v, .9)
			fmt.Fprintf(w, " %7s/%7s", percent(med[m]), percent(p90[m]))
		}
		barM, bar90 := max(.08, 1.5*med[limitC]), max(.25, 1.5*p90[limitC])
		fmt.Fprintf(w, "  %s/%s: %s\n", percent(barM), percent(bar90), met(med[us] <= barM && p90[us] <= bar90))
	}
	fmt.Fprintf(w, "of boildown's answers, all cooks: median with its sign (late +), and how many intervals hold the truth\n")
	for k := range points {
		var bias, held []float64
		for _, r := range cooks {
			if p := r.point[k]; p.valid && !math.IsNaN(p.bias) {
				bias = append(bias, p.bias)
				held = append(held, 0)
				if p.held {
					held[len(held)-1] = 1
				}
			}
		}
		fmt.Fprintf(w, "   %-13s %5d answers, bias %6s, held %6s\n", pointNames[k], len(bias), percent(median(bias)), percent(mean(held)))
	}
}

func reportLine(w io.Writer, cooks []result) {
	fmt.Fprintf(w, "\nOVER THE STALL, a reading each 15 s: median error (bar: 8 times smaller than the better straight line)\n")
	fmt.Fprintf(w, "%-13s %9s %9s %9s %9s %9s %9s %9s\n", "", "readings", "boildown", "line 30 s", "line 120s", "quadratic", "limit (c)", "limit (d)")
	for _, name := range []string{"calibrated", "all"} {
		s, _ := sliceFor(name)
		var v [methods][]float64
		for _, r := range cooks {
			if !s.in(r.h) {
				continue
			}
			for _, e := range r.stall {
				for m := range methods {
					v[m] = append(v[m], e.err[m])
				}
			}
		}
		if len(v[us]) == 0 {
			continue
		}
		fmt.Fprintf(w, "%-13s %9d", name, len(v[us]))
		for m := range methods {
			fmt.Fprintf(w, " %9s", percent(median(v[m])))
		}
		ratio := min(median(v[line30]), median(v[line120])) / median(v[us])
		fmt.Fprintf(w, "  %.1f times: %s\n", ratio, met(ratio >= 8))
	}
}

func reportSlices(w io.Writer, cooks []result) {
	fmt.Fprintf(w, "\nSLICES, all fixed points together: error median / 90th percentile; interval coverage (bar 75–88%%), mean over cooks\n")
	fmt.Fprintf(w, "%-18s %5s %15s %15s %15s %15s %8s  %-8s %s\n", "", "cooks", "boildown", "line 120 s", "limit (c)", "limit (d)", "answered", "≤1.5 (d)", "coverage")
	for _, s := range all {
		var v [methods][]float64
		n := 0
		var cover, answered []float64
		for _, r := range cooks {
			if !s.in(r.h) || !r.arrives {
				continue
			}
			n++
			for _, p := range r.point {
				for m := range methods {
					if p.valid {
						v[m] = append(v[m], p.err[m])
					}
				}
			}
			if r.intervals > 0 {
				cover = append(cover, float64(r.covered)/float64(r.intervals))
			}
			if r.due > 0 {
				answered = append(answered, float64(r.answered)/float64(r.due))
			}
		}
		if n == 0 {
			continue
		}
		fmt.Fprintf(w, "%-18s %5d", s.name, n)
		for _, m := range []int{us, line120, limitC, limitD} {
			fmt.Fprintf(w, " %7s/%7s", percent(median(v[m])), percent(quantile(v[m], .9)))
		}
		c := mean(cover)
		fmt.Fprintf(w, " %8s  %-8s %s %s\n", percent(mean(answered)), met(median(v[us]) <= 1.5*median(v[limitD])), percent(c), met(c >= .75 && c <= .88))
	}
}

func reportChanges(w io.Writer, cooks []result) {
	fmt.Fprintf(w, "\nAFTER A CHANGE OF HEAT, median error by age, in brackets the limits (c) and (d) (bar: ≤ 1.5 × limit (c), marked from 45 s on, unmarked above 225 °F from 90 s on)\n")
	fmt.Fprintf(w, "%-26s", "age, s")
	for _, a := range ageSteps {
		fmt.Fprintf(w, " %24.0f", a)
	}
	fmt.Fprintln(w)
	for _, row := range []struct {
		name string
		from float64
		in   func(h pot.Hard, a aged) bool
	}{
		{"marked", 45, func(_ pot.Hard, a aged) bool { return a.marked }},
		{"   calibrated slice", 1e9, func(h pot.Hard, a aged) bool { return a.marked && h.Calibrated() }},
		{"unmarked, above 225 °F", 90, func(_ pot.Hard, a aged) bool { return !a.marked && a.above }},
		{"   calibrated slice", 1e9, func(h pot.Hard, a aged) bool { return !a.marked && a.above && h.Calibrated() }},
		{"unmarked, below", 1e9, func(_ pot.Hard, a aged) bool { return !a.marked && !a.above }},
	} {
		fmt.Fprintf(w, "%-26s", row.name)
		for _, age := range ageSteps {
			var ours, limit, little []float64
			for _, r := range cooks {
				for _, a := range r.changes {
					if a.age == age && row.in(r.h, a) {
						ours, limit, little = append(ours, a.err[us]), append(limit, a.err[limitC]), append(little, a.err[limitD])
					}
				}
			}
			cell := fmt.Sprintf("%s (%s, %s)", percent(median(ours)), percent(median(limit)), percent(median(little)))
			if age >= row.from && len(ours) > 0 && median(ours) > 1.5*median(limit) {
				cell += "!"
			}
			fmt.Fprintf(w, " %24s", cell)
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintln(w, "(! marks a figure over its bar)")
}
