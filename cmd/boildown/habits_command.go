package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"boildown/probe"
	"boildown/sessions"
)

// habitsFlags say whose habits to show.
type habitsFlags struct {
	dir  string
	hand handFlags
	unit probe.Unit
	json bool
}

func habitsCommand() *cobra.Command {
	flags := habitsFlags{unit: probe.UnitF}
	cmd := &cobra.Command{
		Use:   "habits",
		Short: "Show what past batches say of the cook and the hob, and what uses it",
		Long: `habits shows what your latest batches have in common: how long you take from the
pull prompt to the pull, how far the pot rises after it, the power that your hob
puts into it, how fast it cools. From three batches on cook takes the first two
as its defaults, says so, and lets --reaction and --carry-over overrule them;
plan takes the others. Where several people or hobs share the shelf, name them
by --cook and --hob when you cook. Simulated batches do not count.`,
		Example: "  boildown habits\n  boildown habits --cook Mara --hob left",
		Args:    exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			h := habitsIn(flags.dir, flags.hand)
			if flags.json {
				return writeJSON(cmd, habitRowsJSON(h))
			}
			p := &printingWriter{w: cmd.OutOrStdout()}
			for _, r := range habitRows(h, flags.unit) {
				fmt.Fprintf(p, "%-11s %s\n", r[0], r[1])
			}
			if isClosedPipe(p.err) {
				return nil
			}
			return p.err
		},
	}
	set := cmd.Flags()
	registerDir(set, &flags.dir)
	flags.hand.register(set)
	set.Var(unitValue(&flags.unit, "F"), "unit", "scale of what is shown")
	set.BoolVar(&flags.json, "json", false, "print JSON: seconds, kelvin, watts")
	return cmd
}

// habitRows words the habits, one a row.
func habitRows(h sessions.Habits, unit probe.Unit) [][2]string {
	say := func(x sessions.Habit, what func(v float64) string, use string) string {
		switch {
		case x.N == 0:
			return "not known yet: no batch of this cook and hob shows it"
		case !x.Known():
			return fmt.Sprintf("%s from %d of the 3 batches that make a habit", what(x.Median), x.N)
		}
		return fmt.Sprintf("%s from %d batches, %s to %s; %s", what(x.Median), x.N, what(x.Low), what(x.High), use)
	}
	pull := func(v float64) string { return fmt.Sprintf("%.1f s", v) }
	rise := func(v float64) string { return unit.Diff(probe.Delta(v), 1) }
	watts := func(v float64) string { return fmt.Sprintf("%.0f W", v) }
	minutes := func(v float64) string { return fmt.Sprintf("%.0f min", v/60) }
	rows := [][2]string{
		{"reaction", say(h.Reaction, pull, "cook prompts that much earlier")},
		{"carry-over", say(h.CarryOver, rise, "cook prompts that much lower")},
		{"net power", say(h.Power, watts, "plan reckons its minutes by it")},
		{"cooling", say(h.Cooling, minutes, "the time constant by which plan reckons the dip")},
	}
	if d, ok := h.PullReaction(); ok && d != time.Duration(h.Reaction.Median*float64(time.Second)).Round(100*time.Millisecond) {
		rows[0][1] += ", held at " + shortSeconds(d) + " s"
	}
	if k, ok := h.PullCarryOver(); ok && h.CarryOver.Median-float64(k) > 0.01 {
		rows[1][1] += ", held at " + unit.Diff(k, 1)
	}
	return rows
}

type habitJSON struct {
	Median  float64 `json:"median"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	Batches int     `json:"batches"`
}

func habitRowsJSON(h sessions.Habits) map[string]habitJSON {
	of := func(x sessions.Habit) habitJSON { return habitJSON{x.Median, x.Low, x.High, x.N} }
	return map[string]habitJSON{
		"reaction_s": of(h.Reaction), "carry_over_k": of(h.CarryOver), "net_power_w": of(h.Power), "cooling_s": of(h.Cooling),
	}
}
