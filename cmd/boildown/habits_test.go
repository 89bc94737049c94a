package main

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
	"boildown/sessions"
)

// keepCooked cooks an invented batch in the simulated pot, with a hand that
// needs reaction from the prompt to the pull, and keeps it as a real one.
func keepCooked(t *testing.T, dir string, day int, hand handFlags, reaction time.Duration) {
	t.Helper()
	cfg := pot.DefaultConfig()
	cfg.Seed, cfg.Probe.Every = uint64(day), time.Second
	h := sessions.Header{Start: time.Date(2026, 3, day, 9, 0, 0, 0, time.UTC), Recipe: "Invented", Cook: hand.cook, Hob: hand.hob, Config: freshConfig()}
	h.Config.Batch = plateau.Batch{Melt: cfg.Melt, Cream: cfg.Cream, PotJK: cfg.PotJK}
	h.Config.Pressure, h.Config.Lag = cfg.PressurePa, cfg.Probe.Lag
	rec, err := sessions.Create(dir, h)
	if err != nil {
		t.Fatal(err)
	}
	p, cook, s := pot.New(cfg), pot.NewCook(), plateau.Start(h.Stored().Config)
	cook.Reaction = reaction
	var sum sessions.Summary
	step := func(in plateau.Input) {
		in = sessions.Rounded(in)
		rec.Input(in)
		var a plateau.Advice
		s, a = plateau.Step(s, in)
		sum.Add(in, a)
		for prompt := range a.Began.All {
			rec.Prompt(in.At, prompt, prompt.Text(a, probe.UnitF))
			cook.Hear(prompt.String())
		}
	}
	after := 0
	for at := time.Duration(0); at < time.Hour && after < 240; at += cfg.Probe.Every {
		p.Advance(at)
		r := p.Read()
		r.At = at
		if word := cook.Watch(at, r, p.Look()); word != "" {
			p.Told(word)
			m, _ := plateau.MarkFor(word)
			step(plateau.Input{Kind: plateau.Marked, At: at, Mark: m})
		}
		step(plateau.Reading(r))
		if cook.Done() {
			after++
		}
	}
	if err := rec.Close(sum); err != nil {
		t.Fatal(err)
	}
}

// What three batches have in common is taken by the pull of the next one and
// by its plan, is said together with the batches behind it, and gives way to
// what is typed.
func TestHabitsAreUsedByPullAndPlan(t *testing.T) {
	dir, mara := t.TempDir(), handFlags{cook: "Mara", hob: "left"}
	none := func(string) bool { return false }
	for day := 1; day <= 3; day++ {
		cfg := freshConfig()
		if words := pullByHabit(&cfg, habitsIn(dir, mara), none, probe.UnitF); words != "" || cfg != freshConfig() {
			t.Errorf("%d batches make a habit: %s", day-1, words)
		}
		keepCooked(t, dir, day, mara, 5*time.Second)
	}
	cfg := freshConfig()
	words := pullByHabit(&cfg, habitsIn(dir, mara), none, probe.UnitF)
	if math.Abs(cfg.Reaction.Seconds()-5) > 1.5 || cfg.CarryOver < 0 || cfg.CarryOver > 1.5 || !strings.Contains(words, "(3 batches)") {
		t.Errorf("learned %q: reaction %v, want the hand's 5 s; carry-over %.2f K", words, cfg.Reaction, float64(cfg.CarryOver))
	}
	typed := freshConfig()
	if words := pullByHabit(&typed, habitsIn(dir, mara), func(string) bool { return true }, probe.UnitF); words != "" || typed != freshConfig() {
		t.Errorf("what was typed was overruled: %q", words)
	}
	if words := pullByHabit(&typed, habitsIn(dir, handFlags{cook: "Jo", hob: "right"}), none, probe.UnitF); words != "" {
		t.Errorf("Jo at the other hob was given Mara's hand: %q", words)
	}

	out, err := runCommand(t, planCommand(), "stall-dip", "--dir", dir, "--hob", "left", "--cook", "Mara")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"learned from 3 batches of other recipes on this hob", "your hand", "the dip window opens about"} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), want) {
			t.Errorf("the plan leaves out %q:\n%s", want, out)
		}
	}
	if out, err = runCommand(t, habitsCommand(), "--dir", dir, "--cook", "Mara", "--hob", "left"); err != nil || strings.Count(out, "from 3 batches") != 4 {
		t.Errorf("habits says %v\n%s", err, out)
	}
}

// A cook of a real probe begins with what was learned and keeps in the header
// where that came from; a simulated one learns nothing and is taught nothing.
func TestCookBeginsWithHabits(t *testing.T) {
	dir := t.TempDir()
	for day := 1; day <= 3; day++ {
		keepCooked(t, dir, day, handFlags{}, 5*time.Second)
	}
	prepared := func(source string) *batch {
		t.Helper()
		var flags cookFlags
		set := pflag.NewFlagSet("", pflag.ContinueOnError)
		flags.batch.register(set)
		flags.source.register(set)
		flags.alerts.register(set)
		flags.dir, flags.source.probe = dir, source
		b, err := prepare(&flags)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	if b := prepared("-"); math.Abs(b.header.Config.Reaction.Seconds()-5) > 1.5 || !strings.Contains(b.header.HabitsFrom, "3 batches") {
		t.Errorf("real: reaction %v, from %q", b.header.Config.Reaction, b.header.HabitsFrom)
	}
	if b := prepared("sim"); b.header.Config.Reaction != defaultReaction || b.header.HabitsFrom != "" {
		t.Errorf("simulated: reaction %v, from %q", b.header.Config.Reaction, b.header.HabitsFrom)
	}
}
