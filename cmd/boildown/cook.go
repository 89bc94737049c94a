package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"time"

	"github.com/adrg/xdg"
	"github.com/spf13/cobra"

	"boildown/plateau"
	"boildown/probe/mqtt"
	"boildown/sessions"
	"boildown/ui"
)

// cookFlags are everything that can be said to a live cook.
type cookFlags struct {
	batch  batchFlags
	source sourceFlags
	screen screenFlags
	alerts alertFlags
	hand   handFlags
	dir    string
	name   string
	again  string // the session to go on with, "last" for the newest
	public string // the broker and topic that are told of the batch, "" for none

	recording func(*sessions.Recorder) // told of each record as it is opened, by tests; nil for nobody
}

func cookCommand() *cobra.Command { return cookCommandOf(&cookFlags{}) }

func cookCommandOf(flags *cookFlags) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "cook",
		Short: "Watch a batch live: screen, alarms and record",
		Long: `cook reads the probe, shows the batch, sounds the alarms and keeps every reading.
Keys are shown at ?. When standard output is no terminal it prints plain lines.

The alarm is an aid. Never leave a pot of hot sugar: it boils over and burns in
less time than it takes to come back, and it sticks to skin.`,
		Example: `  boildown cook --demo
  boildown cook --probe sim --speed 10
  boildown cook --probe /dev/ttyUSB0 --target 235F --altitude 300m
  boildown cook --probe usb:10C4:EA60 --recipe caramel.toml --alert 'paplay bell.oga'
  boildown cook --probe /dev/ttyUSB0 --continue`,
		Args: exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return cook(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr(), flags)
		},
	}
	set := cmd.Flags()
	flags.batch.register(set)
	flags.source.register(set)
	flags.screen.register(set)
	flags.alerts.register(set)
	flags.hand.register(set)
	registerDir(set, &flags.dir)
	set.StringVar(&flags.name, "name", "", "what to call this batch; the recipe's name when there is one")
	set.StringVar(&flags.again, "continue", "", "go on with the newest batch, or with --continue=FILE")
	set.Lookup("continue").NoOptDefVal = "last"
	set.StringVar(&flags.public, "publish", "", "broker and topic to tell of the batch, as mqtt://host/kitchen/pot1; boildown watch shows it")
	_ = cmd.RegisterFlagCompletionFunc("recipe", completeRecipe) // the flag exists
	return cmd
}

// cook runs batches, each from its first reading to its closing line: one, and
// another on the same recipe whenever the person asks for it at the end.
func cook(ctx context.Context, in io.Reader, out, errOut io.Writer, flags *cookFlags) error {
	flags.source.stdin = in
	if err := flags.source.use(settingsFrom(ctx)); err != nil {
		return err
	}
	for _, w := range flags.probeWarnings(time.Now()) {
		fmt.Fprintf(errOut, "boildown: %s\n", oneLine(w))
	}
	if flags.source.probe == "-" {
		in = nil // it is the probe: the keys come from the terminal itself
	}
	for {
		next, err := cookOne(ctx, in, out, flags)
		if err != nil || !next {
			return err
		}
		flags.again = ""
	}
}

// cookOne runs one batch and reports whether another is wanted.
func cookOne(ctx context.Context, in io.Reader, out io.Writer, flags *cookFlags) (next bool, err error) {
	b, err := prepare(flags)
	if err != nil {
		return false, err
	}
	term := openTerminal(in, out, &flags.screen)
	if err := b.record(flags); err != nil {
		return false, err
	}
	if flags.recording != nil {
		flags.recording(b.rec)
	}
	if term == nil && b.header.TargetFrom != "" {
		fmt.Fprintf(out, "target %s: %s\n", b.header.Unit.Temp(b.header.Config.Target, 1), oneLine(b.header.TargetFrom))
	}
	if term != nil {
		keeper := startKeeper(term.out.File, b.dir, b.rec.Path())
		defer keeper.release()
	}
	k := newKitchen(ctx, b, flags, term, out)
	if b.past != nil && flags.batch.changed("target") {
		k.pump.Tell(plateau.Input{Kind: plateau.Retargeted, Target: flags.batch.target})
	}
	err = k.cook(out)
	return k.next.Load(), err
}

// batch is what a cook starts from: settled flags, header and record.
type batch struct {
	header sessions.Header
	state  plateau.State
	at     time.Duration // 0, or where an earlier part ended
	past   *sessions.Session
	rec    *sessions.Recorder
	dir    string
	source source // nil for the simulated pot
	public *publicist
	broker *mqtt.Publisher
	notify notifyKind
	alert  []string
}

// prepare settles everything that can be refused before a file is made.
func prepare(flags *cookFlags) (*batch, error) {
	if err := flags.source.check(); err != nil {
		return nil, err
	}
	base := freshConfig()
	if flags.source.simulated() {
		base = flags.source.potBase(base)
	}
	base.Calibration = flags.source.calibration()
	habits := ""
	if !flags.source.simulated() && flags.again == "" {
		habits = pullByHabit(&base, habitsIn(flags.dir, flags.hand), flags.batch.given, flags.batch.unit)
	}
	set, err := flags.batch.settle(base)
	if err != nil {
		return nil, err
	}
	b := &batch{dir: flags.dir}
	if b.notify, b.alert, err = flags.alerts.settle(); err != nil {
		return nil, err
	}
	if !flags.source.simulated() {
		if err := refuseMelt(flags.source.probe, "", flags.source.noMelt); err != nil {
			return nil, err
		}
		if b.source, err = flags.source.openPort(); err != nil {
			return nil, err
		}
		if b.source, err = flags.source.withSides(b.source); err != nil {
			return nil, err
		}
	} else if flags.source.also != "" {
		return nil, usagef("leave --also out", "the simulated pot has one channel")
	}
	b.header = sessions.Header{
		Start: time.Now(), Recipe: flags.name, Probe: flags.source.name(), Fold: plateau.Version,
		Program: buildVersion(), PressureFrom: flags.batch.pressureFrom(flags.source.simulated()), TargetFrom: set.targetFrom,
		Cook: flags.hand.cook, Hob: flags.hand.hob, HabitsFrom: habits,
		Unit: flags.batch.unit, Demo: flags.source.simulated(), Config: set.Config,
	}
	b.header.Zone, _ = b.header.Start.Zone()
	if r := set.recipe; r != nil {
		b.header.RecipeText = r.Text
		if flags.name == "" {
			b.header.Recipe = r.Name
		}
	}
	if flags.source.simulated() && b.header.Recipe == "" {
		b.header.Recipe = "Stall dip (invented)"
	}
	if flags.public != "" {
		if b.public, b.broker, err = newPublicist(flags.public, b.header.Recipe, b.header.Unit); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// record opens the batch's file. A disk that takes nothing does not keep a
// cook from cooking: the record is kept in memory and the screen says so.
func (b *batch) record(flags *cookFlags) error {
	if flags.again != "" {
		return b.resume(flags.again)
	}
	rec, err := sessions.CreateAnyway(b.dir, b.header)
	if err != nil {
		return fmt.Errorf("cannot record the batch: %w", err)
	}
	b.header = b.header.Stored()
	b.rec, b.state = rec, plateau.Start(b.header.Config)
	return nil
}

// defaultDir is where batches live when --dir does not say.
func defaultDir() string { return filepath.Join(xdg.DataHome, "boildown") }

// endWords are the last lines of a cook, behind the restored terminal.
func endWords(out io.Writer, path string) {
	name := filepath.Base(path)
	if filepath.Dir(path) != defaultDir() {
		name = path
	}
	fmt.Fprintf(out, "Batch kept in %s\nReplay it: boildown replay %s\n", ui.Clean(path), ui.Clean(name))
}
