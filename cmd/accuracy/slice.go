package main

import (
	"slices"
	"strings"
	"time"

	"boildown/probe/pot"
	"boildown/syrup"
)

// slice is a part of the corpus.
type slice struct {
	name string
	in   func(h pot.Hard) bool
}

// all are the slices in the order of the tables; the first holds every cook.
var all = []slice{
	{"all", func(pot.Hard) bool { return true }},
	{"calibrated", pot.Hard.Calibrated},
	{"not-calibrated", func(h pot.Hard) bool { return !h.Calibrated() }},
	{"pressure-not-told", func(h pot.Hard) bool { return h.Told.PressurePa == 0 }},
	{"offset", func(h pot.Hard) bool { return h.Residual() > 0.3 || h.Residual() < -0.3 }},
	{"other-curve", func(h pot.Hard) bool { return h.Config.Curve != syrup.StarzakPeacock }},
	{"noisy", func(h pot.Hard) bool { return h.Config.Probe.Noise > 0.1 }},
	{"coarse-steps", pot.Hard.Coarse},
	{"mishaps", func(h pot.Hard) bool { return h.Config.Probe.Lifts > 0 }},
	{"slow-probe", func(h pot.Hard) bool { return h.Config.Probe.Lag > 5*time.Second }},
	{"seldom-read", func(h pot.Hard) bool { return h.Config.Probe.Every > time.Second }},
	{"cycling", func(h pot.Hard) bool { return h.Config.Cycle > 0 }},
	{"steady-heat", func(h pot.Hard) bool { return len(h.Turns) == 0 }},
	{"heat-marked", func(h pot.Hard) bool { return len(h.Turns) > 0 && h.Told.HeatMarks }},
	{"heat-unmarked", func(h pot.Hard) bool { return len(h.Turns) > 0 && !h.Told.HeatMarks }},
	{"marked", func(h pot.Hard) bool { return h.Told.Marks }},
	{"unmarked", func(h pot.Hard) bool { return !h.Told.Marks && h.Kind != pot.LateStart }},
	{"late-start", func(h pot.Hard) bool { return h.Kind == pot.LateStart }},
	{"inverting", func(h pot.Hard) bool { return h.Config.InvertHour > 0 }},
	{"small-batch", func(h pot.Hard) bool { return h.Config.Melt.Solutes < 250 }},
	{"big-batch", func(h pot.Hard) bool { return h.Config.Melt.Solutes > 1200 }},
}

// sliceFor returns the slice of that name, or what several names joined by
// commas have in common.
func sliceFor(names string) (slice, bool) {
	var parts []slice
	for name := range strings.SplitSeq(names, ",") {
		i := slices.IndexFunc(all, func(s slice) bool { return s.name == name })
		if i < 0 {
			return slice{}, false
		}
		parts = append(parts, all[i])
	}
	return slice{names, func(h pot.Hard) bool {
		return !slices.ContainsFunc(parts, func(s slice) bool { return !s.in(h) })
	}}, true
}
