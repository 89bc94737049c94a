package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
)

// reportWorst lists the cooks whose forecasts were furthest behind limit (c).
func reportWorst(w io.Writer, cooks []result, n int) {
	behind := func(r result) (sum float64) {
		for _, p := range r.point {
			if p.valid {
				sum += min(p.err[us], 3) - min(p.err[limitC], 3)
			}
		}
		return sum
	}
	sorted := slices.Clone(cooks)
	slices.SortFunc(sorted, func(a, b result) int { return cmp.Compare(behind(b), behind(a)) })
	fmt.Fprintf(w, "\nWORST COOKS, error by fixed point: boildown (c) (d)\n")
	for _, r := range sorted[:min(n, len(sorted))] {
		fmt.Fprintf(w, "%s\n   ", describe(r))
		for k, p := range r.point {
			if p.valid {
				fmt.Fprintf(w, " [%s: %s (%s, %s) %s]", pointNames[k], percent(p.err[us]), percent(p.err[limitC]), percent(p.err[limitD]), p.why)
			}
		}
		fmt.Fprintln(w)
	}
	var late []result
	for _, r := range cooks {
		if r.stallAsked && r.stallDelay > 30 {
			late = append(late, r)
		}
	}
	slices.SortFunc(late, func(a, b result) int { return cmp.Compare(b.stallDelay, a.stallDelay) })
	fmt.Fprintf(w, "\nSTALLS SEEN LATE\n")
	for _, r := range late[:min(n, len(late))] {
		fmt.Fprintf(w, "%.0f s: %s\n", r.stallDelay, describe(r))
	}
	fmt.Fprintf(w, "\nFORECASTS FOR COOKS THAT CANNOT ARRIVE, FALSE AND EARLY STALLS\n")
	for _, r := range cooks {
		if r.cannot > 0 && float64(r.pretended) > .02*float64(r.cannot) || r.stallFalse || r.stallEarly {
			fmt.Fprintf(w, "%d of %d readings, stall false %v, early %v: %s\n", r.pretended, r.cannot, r.stallFalse, r.stallEarly, describe(r))
		}
	}
}

// reportWorstPulls lists the pulls that landed furthest off, and near-target
// alerts that did not come.
func reportWorstPulls(w io.Writer, pulls []result, n int) {
	off := func(r result) float64 {
		if math.IsNaN(r.peakOff) {
			return 0
		}
		return math.Abs(r.peakOff)
	}
	sorted := slices.Clone(pulls)
	slices.SortFunc(sorted, func(a, b result) int { return cmp.Compare(off(b), off(a)) })
	fmt.Fprintf(w, "\nPULLS FURTHEST OFF\n")
	for _, r := range sorted[:min(n, len(sorted))] {
		fmt.Fprintf(w, "%+.1f °F, prompted %v: %s\n", r.peakOff*1.8, r.prompted, describe(r))
	}
	fmt.Fprintf(w, "\nNEAR-TARGET MISSED OR LATE\n")
	for _, r := range pulls {
		if r.nearMiss || r.nearAhead < 30 {
			fmt.Fprintf(w, "missed %v, %.0f s ahead: %s\n", r.nearMiss, r.nearAhead, describe(r))
		}
	}
}

// describe puts a cook on a line.
func describe(r result) string {
	h, c := r.h, r.h.Config
	s := fmt.Sprintf("#%d %s: %.0f g sugar, %.0f W × %.2f, %.1f kPa (told %.1f), %v, target %.1f °C, offset left %+.2f, noise %.2f, step %v %s, lag %v (told %v), every %v",
		h.N, h.Kind, c.Melt.Solutes, c.Watts, c.Level, c.PressurePa/1e3, h.Told.PressurePa/1e3, c.Curve, h.Target,
		h.Residual(), c.Probe.Noise, c.Probe.Step, c.Probe.Unit, c.Probe.Lag, h.Told.Lag, c.Probe.Every)
	if c.Cycle > 0 {
		s += fmt.Sprintf(", cycling %v", c.Cycle)
	}
	if !h.Told.Marks {
		s += ", unmarked"
	}
	for _, t := range h.Turns {
		if t.Lid != 0 {
			s += fmt.Sprintf(", lid %+d at %v", t.Lid, t.After)
		} else {
			s += fmt.Sprintf(", to %.2f at %v", t.Level, t.After)
		}
	}
	if len(h.Turns) > 0 && h.Told.HeatMarks {
		s += " (marked)"
	}
	if !math.IsNaN(r.peakOff) {
		s += fmt.Sprintf(", slope %.1f K/min", r.slope)
	}
	return s
}
