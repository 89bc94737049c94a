package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
	"boildown/syrup"
)

func exportCommand() *cobra.Command {
	var flags keptFlags
	var to string
	var jsonl bool
	cmd := &cobra.Command{
		Use:     "export FILE|NAME|last",
		Short:   "Write a kept batch as CSV, or as the JSON Lines it is",
		Long:    "export writes every reading and mark of a kept batch as CSV with the header\nseconds,celsius,mark, raw and in °C, as trace and import read it. Readings that\nthe probe itself doubted add a column, fault, and other channels one more, channel.",
		Example: "  boildown export last -o batch.csv\n  boildown export last --jsonl -o batch.jsonl",
		Args:    exactly(1, "one batch: a file, the beginning of a name, or last"),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := flags.open(cmd.ErrOrStderr(), args[0])
			if err != nil {
				return err
			}
			return writeTo(cmd.OutOrStdout(), to, func(w io.Writer) error {
				if jsonl && isTerminal(w) {
					return usagef("name a file with -o", "a session file as it is does not belong on a terminal")
				}
				if jsonl {
					return copyTo(w, s.Path)
				}
				return sessions.WriteCSV(w, s)
			})
		},
	}
	set := cmd.Flags()
	flags.register(set)
	set.StringVarP(&to, "output", "o", "-", "file to write; - for standard output")
	set.BoolVar(&jsonl, "jsonl", false, "the session file as it is")
	return cmd
}

func copyTo(w io.Writer, path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	_, err = io.Copy(w, f)
	return err
}

// importFlags say how to read a table from elsewhere.
type importFlags struct {
	dir     string
	columns sessions.Columns
	unit    probe.Unit
	target  probe.Celsius
	recipe  string
	dry     bool

	altitude    float64
	hasAltitude bool
}

func importCommand() *cobra.Command {
	var flags importFlags
	cmd := &cobra.Command{
		Use:   "import FILE",
		Short: "Take a session file, a batch as CSV, or a bare table of times and temperatures",
		Long: `import puts a batch from elsewhere on the shelf: a session file as it is, CSV as
export writes it, or any table with a time and a temperature column. Columns,
units and separators are guessed, and each guess is printed with its reason; a
flag overrides it.`,
		Example: "  boildown import logger.csv --target 235F\n  boildown import logger.csv --time 1 --temp 3 --unit F --dry-run\n  boildown import batch.jsonl",
		Args:    exactly(1, "one file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			flags.columns.HasUnit = cmd.Flags().Changed("unit")
			flags.columns.Unit = flags.unit
			flags.hasAltitude = cmd.Flags().Changed("altitude")
			return importFile(cmd.OutOrStdout(), args[0], &flags)
		},
	}
	set := cmd.Flags()
	registerDir(set, &flags.dir)
	set.IntVar(&flags.columns.Time, "time", 0, "column of the time, 1 for the first; 0 to guess")
	set.IntVar(&flags.columns.Temp, "temp", 0, "column of the temperature; 0 to guess")
	set.IntVar(&flags.columns.Mark, "mark", 0, "column of marks; 0 to look for one named mark")
	set.StringVar(&flags.columns.TimeUnit, "time-unit", "", "s, ms, min, clock, date, epoch or epoch-ms")
	set.Var(unitValue(&flags.unit, ""), "unit", "scale of the table's temperatures; guessed when not given")
	set.Var(tempValue(&flags.target, ""), "target", "endpoint that the batch was cooked to")
	set.StringVar(&flags.recipe, "recipe", "", "recipe it belongs to, by name or file; one that is not on the list is taken for a name")
	set.Var(lengthValue(&flags.altitude, ""), "altitude", "height at which it was cooked, to set its endpoint beside others")
	_ = cmd.RegisterFlagCompletionFunc("recipe", completeRecipe) // the flag exists
	set.BoolVar(&flags.dry, "dry-run", false, "show the guesses and keep nothing")
	return cmd
}

func importFile(out io.Writer, path string, flags *importFlags) error {
	f, err := os.Open(path)
	if err != nil {
		return usagef("", "cannot read %q: %w", path, bare(err))
	}
	defer f.Close()
	r := bufio.NewReader(f)
	if first, err := firstByte(r); err == nil && first == '{' {
		return adopt(out, path, flags)
	}
	s, said, err := importTable(r, flags.columns)
	if err != nil {
		return usagef("boildown import --help shows the flags that name columns", "cannot import %q: %w", path, err)
	}
	fmt.Fprint(out, said)
	flags.head(&s.Header)
	s.Header.Unit, s.Header.Fold = probe.UnitF, plateau.Version
	s.Header = s.Header.Stored()
	s.Summary = sessions.Summarise(s)
	fmt.Fprintf(out, "%d readings over %s\n", s.Summary.Readings, clockTime(s.End()))
	for _, n := range s.Notes {
		fmt.Fprintln(out, oneLine(n))
	}
	if flags.dry {
		fmt.Fprintln(out, "Nothing was kept.")
		return nil
	}
	kept, err := sessions.Save(flags.dir, s)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "Kept as %s\n", oneLine(kept))
	return nil
}

// head fills in what the table itself cannot say.
func (f *importFlags) head(h *sessions.Header) {
	h.Probe = "imported"
	if f.hasAltitude {
		h.Config.Pressure = syrup.Pressure(f.altitude)
		h.PressureFrom = fmt.Sprintf("altitude %.0f m", f.altitude)
	}
	h.Recipe = f.recipe
	if name, r := recipeOf(f.recipe); r != nil {
		h.Recipe, h.RecipeText = name, r.Text
		r.apply(&h.Config)
		h.Config.Target, h.TargetFrom = r.TargetAt(h.Config.Pressure)
	}
	if f.target != 0 {
		h.Config.Target, h.TargetFrom = f.target, "--target"
	}
}

// importTable reads a batch as CSV without loss, or any other table by guess.
func importTable(r io.Reader, columns sessions.Columns) (*sessions.Session, string, error) {
	var head bytes.Buffer
	if columns.Time == 0 && columns.Temp == 0 && !columns.HasUnit {
		s, err := sessions.FromCSV(io.TeeReader(r, &head))
		if !errors.Is(err, sessions.ErrNotCSV) {
			return s, "a batch with the header " + sessions.CSVHeader + "\n", err
		}
		r = io.MultiReader(&head, r)
	}
	s, columns, err := sessions.Import(r, columns)
	said := ""
	for _, why := range columns.Why {
		said += oneLine(why) + "\n"
	}
	return s, said, err
}

// adopt takes a session file as it is.
func adopt(out io.Writer, path string, flags *importFlags) error {
	if flags.dry {
		s, err := sessions.Read(path)
		if err != nil {
			return usagef("", "cannot import: %w", err)
		}
		fmt.Fprintf(out, "A session file: %s, %s. Nothing was kept.\n", oneLine(s.Title()), clockTime(s.End()))
		return nil
	}
	kept, err := sessions.Adopt(flags.dir, path)
	if err != nil {
		return usagef("", "cannot import: %w", err)
	}
	fmt.Fprintf(out, "Kept as %s\n", oneLine(kept))
	return nil
}
