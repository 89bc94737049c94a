package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"boildown/sessions"
)

func reportCommand() *cobra.Command {
	var flags keptFlags
	var to string
	var svg bool
	align := sessions.AlignCreamEnd
	cmd := &cobra.Command{
		Use:     "report BATCH…",
		Short:   "Write batches as one page for a browser or for paper",
		Long:    "report writes one self-contained page of HTML: curves, findings, marks, recipe and\noutcome, and for several batches what differs between them. It needs no network\nand runs no script. --svg writes the curve alone as a drawing.",
		Example: "  boildown report last -o batch.html\n  boildown report last --svg -o curve.svg\n  boildown report last 2026-03-14T09 -o two.html",
		Args:    atLeast(1, "a batch: a file, the beginning of a name, or last"),
		RunE: func(cmd *cobra.Command, args []string) error {
			all, err := flags.openAll(cmd.ErrOrStderr(), args)
			if err != nil {
				return err
			}
			return writeTo(cmd.OutOrStdout(), to, func(w io.Writer) error {
				if svg {
					return sessions.WriteSVG(w, all, align)
				}
				return sessions.WriteReport(w, all, align, func(s *sessions.Session) sessions.Usual { return usualFor(s, flags.dir) })
			})
		},
	}
	set := cmd.Flags()
	flags.register(set)
	registerAlign(set, &align)
	set.StringVarP(&to, "output", "o", "-", "file to write; - for standard output")
	set.BoolVar(&svg, "svg", false, "the curve alone, as SVG")
	return cmd
}

// writeTo lets write fill the file at path, or out for "-". A file stands
// there only when it is whole, and a kept batch is never written over.
func writeTo(out io.Writer, path string, write func(io.Writer) error) error {
	if path == "-" || path == "" {
		err := write(out)
		if isClosedPipe(err) {
			return nil
		}
		return err
	}
	if filepath.Ext(path) == sessions.Ext {
		if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
			return usagef("give another name", "%q is there already and may be a batch", path)
		}
	}
	tmp, err := os.CreateTemp(filepath.Dir(path), ".boildown-*")
	if err != nil {
		return usagef("", "cannot write %q: %w", path, bare(err))
	}
	defer os.Remove(tmp.Name())
	if err := errors.Join(write(tmp), tmp.Close()); err != nil {
		return fmt.Errorf("writing %q: %w", path, err)
	}
	if err := os.Rename(tmp.Name(), path); err != nil {
		return usagef("", "cannot write %q: %w", path, bare(err))
	}
	return nil
}

// bare strips the path that the message names already.
func bare(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}
