package main

import (
	"encoding/json"
	"fmt"
	"io"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"boildown/probe"
	"boildown/sessions"
)

// shelfFlags say which batches to list and how.
type shelfFlags struct {
	dir    string
	text   string
	sort   string
	demo   bool
	json   bool
	unit   probe.Unit
	number int
}

func sessionsCommand() *cobra.Command {
	flags := shelfFlags{unit: probe.UnitF}
	cmd := &cobra.Command{
		Use:     "sessions",
		Short:   "List the batches that were kept, the newest first",
		Example: "  boildown sessions\n  boildown sessions --search pears --sort peak\n  boildown sessions --json | jq -r '.[].path'",
		Args:    exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return shelf(cmd.OutOrStdout(), &flags)
		},
	}
	set := cmd.Flags()
	registerDir(set, &flags.dir)
	set.StringVar(&flags.text, "search", "", "only batches with this in title, recipe, note or tag")
	set.StringVar(&flags.sort, "sort", "date", "date, recipe, title, target, peak, length or texture")
	set.BoolVar(&flags.demo, "demo", true, "list simulated batches too")
	set.BoolVar(&flags.json, "json", false, "print JSON for scripts")
	set.IntVarP(&flags.number, "number", "n", 0, "at most this many; 0 for all")
	set.Var(unitValue(&flags.unit, "F"), "unit", "scale of what is shown")
	return cmd
}

func shelf(out io.Writer, flags *shelfFlags) error {
	all, err := sessions.List(flags.dir)
	if err != nil {
		return err
	}
	var entries []sessions.Entry
	for _, e := range sessions.Filtered(all, sessions.Filter{Text: flags.text}) {
		if flags.demo || !e.Demo {
			entries = append(entries, e)
		}
	}
	if err := sessions.Sort(entries, flags.sort); err != nil {
		return usagef("", "%w", err)
	}
	if flags.number > 0 {
		entries = entries[:min(len(entries), flags.number)]
	}
	switch {
	case flags.json:
		return shelfJSON(out, entries)
	case len(all) == 0:
		fmt.Fprintf(out, "No batch is kept in %s yet.\nboildown cook --demo makes one without a probe.\n", oneLine(flags.dir))
		return nil
	case len(entries) == 0:
		fmt.Fprintf(out, "None of %d batches fits.\n", len(all))
		return nil
	}
	return shelfTable(out, entries, flags.unit)
}

func shelfTable(out io.Writer, entries []sessions.Entry, unit probe.Unit) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "NAME\tBEGUN\tLENGTH\tTARGET\tPEAK\tENDED IN\tBATCH")
	for _, e := range entries {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", oneLine(e.Name), begun(e.Start), clockTime(e.End),
			tempOrDash(e.Target, unit, 0), tempOrDash(e.Peak, unit, 1), endedIn(e), oneLine(e.Title()))
	}
	return w.Flush()
}

func begun(t time.Time) string {
	if t.IsZero() {
		return "-"
	}
	return t.Local().Format("2006-01-02 15:04")
}

func tempOrDash(c probe.Celsius, u probe.Unit, decimals int) string {
	if c == 0 {
		return "-"
	}
	return u.Temp(c, decimals)
}

// endedIn says where a batch stands and what is wrong with its file.
func endedIn(e sessions.Entry) string {
	switch {
	case e.Trouble != "":
		return "unreadable: " + oneLine(e.Trouble)
	case e.Damaged > 0:
		return fmt.Sprintf("%d damaged places", e.Damaged)
	case !e.Closed:
		return "broken off"
	case e.Phase == "":
		return "-"
	}
	return oneLine(e.Phase)
}

// shelfJSON prints what a script needs to pick a batch.
func shelfJSON(out io.Writer, entries []sessions.Entry) error {
	type line struct {
		Name    string     `json:"name"`
		Path    string     `json:"path"`
		Title   string     `json:"title"`
		Begun   *time.Time `json:"begun"`
		Seconds float64    `json:"seconds"`
		Target  *float64   `json:"target_c"`
		Peak    *float64   `json:"peak_c"`
		Phase   string     `json:"phase"`
		Closed  bool       `json:"closed"`
		Demo    bool       `json:"demo"`
		Damaged int        `json:"damaged"`
		Trouble string     `json:"trouble"`
	}
	lines := make([]line, 0, len(entries))
	for _, e := range entries {
		l := line{Name: e.Name, Path: e.Path, Title: e.Title(), Seconds: *rounded(e.End.Seconds(), 3), Phase: e.Phase,
			Closed: e.Closed, Demo: e.Demo, Damaged: e.Damaged, Trouble: e.Trouble}
		if !e.Start.IsZero() {
			l.Begun = &e.Start
		}
		if e.Target != 0 {
			l.Target = rounded(float64(e.Target), 3)
		}
		if e.Peak != 0 {
			l.Peak = rounded(float64(e.Peak), 3)
		}
		lines = append(lines, l)
	}
	enc := json.NewEncoder(out)
	enc.SetIndent("", "  ")
	return enc.Encode(lines)
}
