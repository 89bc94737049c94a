package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os/signal"
	"path/filepath"

	"github.com/spf13/cobra"

	"boildown/probe"
	"boildown/sessions"
	"boildown/ui"
)

// browseFlags say which shelf to open and how to show it.
type browseFlags struct {
	screen screenFlags
	dir    string
	unit   probe.Unit
}

func browseCommand() *cobra.Command {
	flags := browseFlags{unit: probe.UnitF}
	cmd := &cobra.Command{
		Use:   "browse",
		Short: "Open the shelf: replay, compare, name and judge kept batches",
		Long: `browse shows the kept batches on the screen, each with a small curve. Enter
replays one, space picks some to compare, o says how one came out, x puts one
into the bin and z brings it back. Keys are shown at ?.`,
		Example: "  boildown browse\n  boildown browse --dir ~/batches --unit C",
		Args:    exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return browse(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), &flags)
		},
	}
	set := cmd.Flags()
	flags.screen.register(set)
	registerDir(set, &flags.dir)
	set.Var(unitValue(&flags.unit, "F"), "unit", "scale of what is shown")
	return cmd
}

func browse(ctx context.Context, in io.Reader, out io.Writer, flags *browseFlags) error {
	term := openTerminal(in, out, &flags.screen)
	if term == nil {
		return usagef("boildown sessions lists them in plain lines", "the shelf needs a terminal to be shown on")
	}
	defer term.restore()
	cfg := flags.screen.config()
	cfg.Unit = flags.unit
	screen := ui.NewProgram(ui.NewShelf(cfg, shelfIn(flags.dir)), term.in, term.out)
	ctx, stop := signal.NotifyContext(ctx, endingSignals...)
	defer stop()
	defer context.AfterFunc(ctx, screen.Quit)()
	err := screen.Run()
	var f *ui.Fault
	if errors.As(err, &f) {
		c := &crash{where: "screen", value: f.Value, stack: f.Stack}
		hint := "the batches are as they were"
		if note := crashNote(flags.dir, c); note != "" {
			hint += "; please report " + note
		}
		return hinted(fmt.Errorf("a fault in the program closed the shelf: %w", c), hint)
	}
	return hinted(err, "boildown sessions lists the batches in plain lines")
}

// shelfIn is the folder of that name as the shelf screen needs it.
type shelfIn string

func (dir shelfIn) List() ([]sessions.Entry, error) { return sessions.List(string(dir)) }

func (dir shelfIn) Open(e sessions.Entry) (*sessions.Session, error) { return sessions.Read(e.Path) }

func (dir shelfIn) Amend(e sessions.Entry, a sessions.Amendment) error {
	return sessions.Amend(e.Path, a)
}

func (dir shelfIn) Discard(e sessions.Entry) (string, error) {
	return sessions.Discard(string(dir), filepath.Base(e.Path))
}

func (dir shelfIn) Restore(binned string) error {
	_, err := sessions.Restore(string(dir), binned)
	return err
}

var _ ui.Shelf = shelfIn("")
