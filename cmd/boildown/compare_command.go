package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"boildown/sessions"
	"boildown/ui"
)

func compareCommand() *cobra.Command {
	var flags keptFlags
	var screen screenFlags
	align := sessions.AlignCreamEnd
	cmd := &cobra.Command{
		Use:     "compare BATCH BATCH…",
		Short:   "Set batches side by side: what differs, and what goes with the outcome",
		Long:    "compare aligns kept batches by one moment and shows what differs between them.\nWhat goes along with the difference in outcome comes first; that does not make it\nthe cause. More than six batches, and output that is no terminal, get a plain table.",
		Example: "  boildown compare last 2026-03-14T09\n  boildown compare --plain --align pull a.jsonl b.jsonl c.jsonl",
		Args:    atLeast(2, "two batches or more"),
		RunE: func(cmd *cobra.Command, args []string) error {
			all, err := flags.openAll(cmd.ErrOrStderr(), args)
			if err != nil {
				return err
			}
			screen.plain = screen.plain || len(all) > ui.MostCompared // the table holds them all
			if term := openTerminal(cmd.InOrStdin(), cmd.OutOrStdout(), &screen); term != nil {
				return compareOn(cmd.Context(), term, all, align, flags.dir, &screen)
			}
			c, err := sessions.Compare(all, align)
			if err != nil {
				return err
			}
			p := &printingWriter{w: cmd.OutOrStdout()}
			if err := c.WriteText(p); err != nil && !isClosedPipe(err) {
				return err
			}
			return nil
		},
	}
	set := cmd.Flags()
	flags.register(set)
	screen.register(set)
	registerAlign(set, &align)
	return cmd
}

func registerAlign(set *pflag.FlagSet, align *sessions.Align) {
	set.Var(&value[sessions.Align]{to: align, parse: parseAlign, text: align.String(), kind: "moment"}, "align",
		"moment that the curves are aligned by: cream (the last is in), stall, pull or start")
}

func parseAlign(s string) (sessions.Align, error) {
	a, ok := sessions.AlignFor(s)
	if !ok {
		return 0, fmt.Errorf("cannot align by %q: take cream, stall, pull or start", s)
	}
	return a, nil
}

// compareOn shows the comparison on a terminal.
func compareOn(ctx context.Context, term *terminal, all []*sessions.Session, align sessions.Align, dir string, flags *screenFlags) error {
	defer term.restore()
	cfg := flags.config()
	cfg.Name, cfg.Unit, cfg.Align = "compare", all[0].Header.Unit, align
	screen := ui.NewProgram(ui.NewCompare(cfg, all), term.in, term.out)
	return showScreen(ctx, screen, "comparison", dir, "boildown compare --plain prints a table instead")
}
