package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
)

// handFlags say whose habits a batch is cooked by and adds to. Somebody who
// cooks alone on one hob needs neither.
type handFlags struct{ cook, hob string }

func (f *handFlags) register(set *pflag.FlagSet) {
	set.StringVar(&f.cook, "cook", "", "who cooks, by any name: the reaction at the pull is learned for each")
	set.StringVar(&f.hob, "hob", "", "what it is cooked on, by any name: power and carry-over are learned for each")
}

// habitsIn learns from the folder of batches. What cannot be read is passed
// over: nothing rests on it that has no default.
func habitsIn(dir string, hand handFlags) sessions.Habits {
	entries, err := sessions.List(dir)
	if err != nil {
		return sessions.Habits{}
	}
	return sessions.HabitsOn(entries, hand.cook, hand.hob)
}

// pullByHabit puts into cfg what past batches say of the way from the prompt
// to the pull, where nobody gave a figure, and returns in words what it put
// there, "" for nothing.
func pullByHabit(cfg *plateau.Config, h sessions.Habits, given func(flag string) bool, unit probe.Unit) string {
	var words []string
	if d, ok := h.PullReaction(); ok && !given("reaction") {
		cfg.Reaction = d
		words = append(words, fmt.Sprintf("reaction %s s (%d batches)", shortSeconds(d), h.Reaction.N))
	}
	if k, ok := h.PullCarryOver(); ok && !given("carry-over") {
		cfg.CarryOver = k
		words = append(words, fmt.Sprintf("carry-over %s (%d batches)", unit.Diff(k, 1), h.CarryOver.N))
	}
	return strings.Join(words, ", ")
}

func shortSeconds(d time.Duration) string { return fmt.Sprintf("%.1f", d.Seconds()) }
