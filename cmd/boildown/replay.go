package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
	"boildown/ui"
)

// replayFlags say how to show a kept batch.
type replayFlags struct {
	screen screenFlags
	dir    string
	unit   probe.Unit
	set    func(name string) bool
}

func replayCommand() *cobra.Command {
	var flags replayFlags
	cmd := &cobra.Command{
		Use:   "replay FILE|NAME|last",
		Short: "Play a kept batch again: same fold, same screen",
		Long: `replay shows a kept batch on the screen, with play, pause, seek and jumps to marks
and prompts; keys are shown at ?. When standard output is no terminal it prints
the batch as plain lines.

The batch is folded anew. Where today's fold would prompt otherwise than the one
that cooked it, both are shown.`,
		Example: "  boildown replay last\n  boildown replay 2026-03-14T09\n  boildown replay ~/batches/pears.jsonl | grep PULL",
		Args:    exactly(1, "one batch: a file, the beginning of a name, or last"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return replay(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr(), args[0], &flags)
		},
	}
	set := cmd.Flags()
	flags.set = set.Changed
	flags.screen.register(set)
	registerDir(set, &flags.dir)
	set.Var(unitValue(&flags.unit, ""), "unit", "scale of what is shown; the batch's own when not given")
	return cmd
}

func replay(ctx context.Context, in io.Reader, out, errOut io.Writer, which string, flags *replayFlags) error {
	found, err := sessions.Find(flags.dir, which)
	if err != nil {
		return usagef("boildown sessions lists the batches", "%w", err)
	}
	s, err := sessions.Read(found.Path)
	if err != nil {
		return usagef("", "cannot replay: %w", err)
	}
	for _, d := range s.Damage {
		fmt.Fprintf(errOut, "boildown: %s: %s\n", oneLine(found.Name), oneLine(d.Error()))
	}
	unit := s.Header.Unit
	if flags.set("unit") {
		unit = flags.unit
	}
	tape := sessions.NewReplay(s)
	if term := openTerminal(in, out, &flags.screen); term != nil {
		return replayOn(ctx, term, s, tape, unit, flags)
	}
	return replayLines(out, tape, unit)
}

// replayOn shows the replay on a terminal.
func replayOn(ctx context.Context, term *terminal, s *sessions.Session, tape *sessions.Replay, unit probe.Unit, flags *replayFlags) error {
	defer term.restore()
	cfg := flags.screen.config()
	cfg.Name, cfg.Unit, cfg.Fold = s.Title(), unit, s.Header.Config
	cfg.Review = func() sessions.Verdict { return sessions.Review(s, usualFor(s, flags.dir)) }
	screen := ui.NewProgram(ui.NewReplay(cfg, tape), term.in, term.out)
	return showScreen(ctx, screen, "replay", flags.dir, "boildown replay "+s.Path+" | cat prints plain lines instead")
}

// usualFor is what the shelf knows of the batch's recipe. A shelf that cannot
// be read knows nothing.
func usualFor(s *sessions.Session, dir string) sessions.Usual {
	entries, err := sessions.List(dir)
	if err != nil {
		return sessions.Usual{}
	}
	return sessions.UsualOf(entries, s.Header.Recipe, filepath.Base(s.Path))
}

// replayLines prints the whole batch as the plain lines of a cook, and what
// the cook was told otherwise at the time.
func replayLines(out io.Writer, tape *sessions.Replay, unit probe.Unit) error {
	p := &printingWriter{w: out}
	lines := &plain{out: p, unit: unit}
	tape.Each(func(in plateau.Input, a plateau.Advice) bool {
		lines.watch(in, a)
		return p.err == nil
	})
	for _, d := range tape.Drifts() {
		if d.Then {
			lines.line(d.At, "said then", d.Prompt.String()+": "+d.Text)
		}
	}
	if isClosedPipe(p.err) {
		return nil
	}
	return p.err
}

// printingWriter remembers the first error of a writer.
type printingWriter struct {
	w   io.Writer
	err error
}

func (p *printingWriter) Write(b []byte) (int, error) {
	if p.err != nil {
		return 0, p.err
	}
	n, err := p.w.Write(b)
	p.err = err
	return n, err
}
