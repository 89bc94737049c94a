package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"boildown/probe"
	"boildown/sessions"
)

// keptFlags are what every command about kept batches takes.
type keptFlags struct {
	dir  string
	unit probe.Unit
	set  *pflag.FlagSet
}

func (f *keptFlags) register(set *pflag.FlagSet) {
	f.set = set
	registerDir(set, &f.dir)
	set.Var(unitValue(&f.unit, ""), "unit", "scale of what is shown; the batch's own when not given")
}

// open finds and loads a batch. What is damaged in it is said on errOut.
func (f *keptFlags) open(errOut io.Writer, which string) (*sessions.Session, error) {
	found, err := sessions.Find(f.dir, which)
	if err != nil {
		return nil, usagef("boildown sessions lists the batches", "%w", err)
	}
	s, err := sessions.Read(found.Path)
	if err != nil {
		return nil, usagef("", "%w", err)
	}
	if n := len(s.Damage); n > 0 {
		fmt.Fprintf(errOut, "boildown: %s: %d places are damaged, the first: %s\n", oneLine(found.Name), n, oneLine(s.Damage[0].Error()))
	}
	if f.set.Changed("unit") {
		s.Header.Unit = f.unit
	}
	return s, nil
}

// openAll is open for several batches.
func (f *keptFlags) openAll(errOut io.Writer, which []string) ([]*sessions.Session, error) {
	var all []*sessions.Session
	for _, w := range which {
		s, err := f.open(errOut, w)
		if err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	return all, nil
}

// atLeast wants n arguments or more and says which when they are not there.
func atLeast(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) >= n {
			return nil
		}
		return usagef(cmd.CommandPath()+" --help shows an example", "%s wants %s", cmd.CommandPath(), what)
	}
}

func reviewCommand() *cobra.Command {
	var flags keptFlags
	cmd := &cobra.Command{
		Use:     "review FILE|NAME|last",
		Short:   "Say where a kept batch went wrong, the worst first",
		Long:    "review folds a kept batch anew and says what went wrong, the worst first: when, by\nhow much, against what, why it matters and what to do next time. Of a good batch\nit says that it was good.",
		Example: "  boildown review last\n  boildown review 2026-03-14T09 --unit C",
		Args:    exactly(1, "one batch: a file, the beginning of a name, or last"),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := flags.open(cmd.ErrOrStderr(), args[0])
			if err != nil {
				return err
			}
			return writeReview(cmd.OutOrStdout(), s, sessions.Review(s, usualFor(s, flags.dir)))
		},
	}
	flags.register(cmd.Flags())
	return cmd
}

func writeReview(out io.Writer, s *sessions.Session, v sessions.Verdict) error {
	p := &printingWriter{w: out}
	fmt.Fprintf(p, "%s\n%s\n", oneLine(s.Title()), v.Summary)
	for _, f := range v.Findings {
		fmt.Fprintf(p, "\n%s at %s: %s\n  Against: %s.\n  Why: %s\n  Next time: %s\n", f.Level, clockTime(f.At), f.What, f.Against, f.Why, f.Next)
	}
	if isClosedPipe(p.err) {
		return nil
	}
	return p.err
}
