package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"boildown/plateau"
	"boildown/sessions"
)

func traceCommand() *cobra.Command {
	var flags batchFlags
	cmd := &cobra.Command{
		Use:   "trace FILE|-",
		Short: "Fold a file without a screen: one JSON object per reading",
		Long: `trace reads a session file, or CSV with the header "seconds,celsius,mark", and
prints one JSON object per row: what the cook would have been told there.

The target is the temperature wanted as this probe reads it today; --altitude and
--water-boils tell the forecast the air pressure and never shift it, unless
--sea-level says that it is a sea-level figure. A session file's header holds
unless a flag is given.`,
		Example: `  boildown trace batch.jsonl
  boildown trace --target 235F --altitude 1600m readings.csv
  boildown trace - < readings.csv | jq -r '.prompts[].text'`,
		Args: exactly(1, "one file, or - for standard input"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return trace(cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr(), args[0], &flags)
		},
	}
	flags.register(cmd.Flags())
	_ = cmd.RegisterFlagCompletionFunc("recipe", completeRecipe) // the flag exists
	return cmd
}

// trace reads path, or in for "-", and writes its rows to out. A closed pipe
// downstream is the end of what was wanted, not an error.
func trace(in io.Reader, out, errOut io.Writer, path string, flags *batchFlags) error {
	if path != "-" {
		f, err := os.Open(path)
		if err != nil {
			return usagef("", "cannot read %q: %w", path, cause(err))
		}
		defer f.Close()
		in = f
	}
	r := bufio.NewReaderSize(in, 64<<10)
	rows := rowWriter{out: bufio.NewWriter(out), live: path == "-"}
	err := traceInto(&rows, r, errOut, path, flags)
	if flushed := rows.out.Flush(); err == nil {
		err = flushed
	}
	if isClosedPipe(err) {
		return nil
	}
	return err
}

// cause is what is left of an error of the file system without the verb and
// the path, which the message around it says.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// traceInto tells the two kinds of file apart by their first byte.
func traceInto(rows *rowWriter, r *bufio.Reader, errOut io.Writer, path string, flags *batchFlags) error {
	switch first, err := firstByte(r); {
	case err == io.EOF:
		return notTraceable(path, "it is empty")
	case err != nil:
		return usagef("", "cannot read %q: %w", path, cause(err))
	case first == '{':
		return traceSession(rows, r, errOut, path, flags)
	}
	return traceCSV(rows, r, errOut, path, flags)
}

// firstByte looks at the first byte behind a byte order mark and white space
// without taking it.
func firstByte(r *bufio.Reader) (byte, error) {
	if bom, _ := r.Peek(3); string(bom) == "\xef\xbb\xbf" {
		_, _ = r.Discard(3)
	}
	for {
		b, err := r.Peek(1)
		if err != nil {
			return 0, err
		}
		switch b[0] {
		case ' ', '\t', '\r', '\n':
			_, _ = r.Discard(1)
		default:
			return b[0], nil
		}
	}
}

// notTraceable is the one clear line for a file that is neither kind.
func notTraceable(path, why string) error {
	return usagef("", "%q is neither a session file nor CSV with the header %s: %s", path, sessions.CSVHeader, why)
}

// traceCSV folds a batch that was written down as CSV.
func traceCSV(rows *rowWriter, in io.Reader, errOut io.Writer, path string, flags *batchFlags) error {
	set, err := flags.settle(freshConfig())
	if err != nil {
		return err
	}
	t := newTracer(rows, set.Config, flags.unit)
	for line, err := range sessions.ReadCSV(in) {
		if err != nil {
			return notTraceable(path, strings.TrimPrefix(err.Error(), sessions.ErrNotCSV.Error()+": "))
		}
		if line.Side != "" { // not the pot
			continue
		}
		var a plateau.Advice
		for _, in := range line.Inputs {
			a = t.step(in)
		}
		if err := t.row(line.At, line.C, line.HasC, a); err != nil {
			return err
		}
	}
	set.sayTarget(errOut, flags)
	return t.close()
}

// sayTarget tells a target that was worked out, and from what, beside the rows.
func (s settled) sayTarget(errOut io.Writer, flags *batchFlags) {
	if (s.recipe != nil || flags.seaLevel) && s.targetFrom != "" {
		fmt.Fprintf(errOut, "boildown: target %s: %s\n", flags.unit.Temp(s.Target, 1), oneLine(s.targetFrom))
	}
}

// traceSession folds a batch that was recorded. Only readings make rows; what
// is damaged in the file is said once, beside them.
func traceSession(rows *rowWriter, in io.Reader, errOut io.Writer, path string, flags *batchFlags) error {
	rd, err := sessions.NewReader(in)
	if err != nil {
		return notTraceable(path, err.Error())
	}
	flags.recorded = true
	set, err := flags.settle(rd.Header.Config)
	if err != nil {
		return err
	}
	unit := rd.Header.Unit
	if flags.changed("unit") {
		unit = flags.unit
	}
	t := newTracer(rows, set.Config, unit)
	for in := range rd.Inputs() {
		a := t.step(in)
		if in.Kind != plateau.Measured {
			continue
		}
		if err := t.row(in.At, in.C, hasNumber(in.Fault), a); err != nil {
			return err
		}
	}
	if rd.Err() != nil {
		return usagef("", "cannot read %q to its end: %w", path, cause(rd.Err()))
	}
	set.sayTarget(errOut, flags)
	for _, d := range rd.Damage {
		fmt.Fprintf(errOut, "boildown: %q: %s\n", path, oneLine(d.Error()))
	}
	return t.close()
}
