package main

import (
	"context"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"boildown/probe"
	"boildown/sessions"
	"boildown/ui"
)

// browseFlags say which shelf to open and how to show it.
type browseFlags struct {
	screen screenFlags
	fit    fitFlags
	dir    string
	unit   probe.Unit
}

func (f *browseFlags) register(set *pflag.FlagSet) {
	f.screen.register(set)
	f.fit.register(set)
	registerDir(set, &f.dir)
	set.Var(unitValue(&f.unit, "F"), "unit", "scale of what is shown")
}

func browseCommand() *cobra.Command {
	flags := browseFlags{unit: probe.UnitF}
	cmd := &cobra.Command{
		Use:   "browse",
		Short: "Open the shelf: replay, compare, name and judge kept batches",
		Long: `browse shows the kept batches on the screen, each with a small curve. Enter
replays one, space picks some to compare, o says how one came out, x puts one
into the bin and z brings it back. Keys are shown at ?. The flags that pick
batches are those of boildown sessions, which opens the same screen.`,
		Example: "  boildown browse\n  boildown browse --tag fair --from 2026-03-01 --unit C",
		Args:    exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return browse(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), &flags)
		},
	}
	flags.register(cmd.Flags())
	return cmd
}

func browse(ctx context.Context, in io.Reader, out io.Writer, flags *browseFlags) error {
	term := openTerminal(in, out, &flags.screen)
	if term == nil {
		return usagef("boildown sessions --plain lists them in plain lines", "the shelf needs a terminal to be shown on")
	}
	return browseOn(ctx, term, flags)
}

// browseOn shows the shelf on a terminal.
func browseOn(ctx context.Context, term *terminal, flags *browseFlags) error {
	defer term.restore()
	cfg := flags.screen.config()
	cfg.Unit = flags.unit
	screen := ui.NewProgram(ui.NewShelf(cfg, shelfIn{flags.dir, &flags.fit}), term.in, term.out)
	return showScreen(ctx, screen, "shelf", flags.dir, "boildown sessions --plain lists the batches in plain lines")
}

// shelfIn is a folder, and what of it is meant, as the shelf screen needs it.
type shelfIn struct {
	dir string
	fit *fitFlags
}

func (s shelfIn) List() ([]sessions.Entry, error) {
	all, err := sessions.List(s.dir)
	return s.fit.of(all), err
}

func (s shelfIn) Open(e sessions.Entry) (*sessions.Session, error) { return sessions.Read(e.Path) }

func (s shelfIn) Amend(e sessions.Entry, a sessions.Amendment) error {
	return sessions.Amend(e.Path, a)
}

func (s shelfIn) Discard(e sessions.Entry) (string, error) {
	return sessions.Discard(s.dir, filepath.Base(e.Path))
}

func (s shelfIn) Restore(binned string) error {
	_, err := sessions.Restore(s.dir, binned)
	return err
}

var _ ui.Shelf = shelfIn{}
