package main

import (
	"cmp"
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
	browse browseFlags
	sort   string
	json   bool
	number int
}

func sessionsCommand() *cobra.Command {
	flags := shelfFlags{browse: browseFlags{unit: probe.UnitF}}
	cmd := &cobra.Command{
		Use:   "sessions",
		Short: "List the batches that were kept, the newest first",
		Long: `sessions shows the kept batches: on a terminal as a screen to browse, each with a
small curve (see boildown browse), else, or with --plain, --sort or -n, as a table.
Dates are days as in 2026-03-14; everything that is given must fit.`,
		Example: "  boildown sessions\n  boildown sessions --search pears --sort peak\n  boildown sessions --from 2026-03-01 --texture chewy --tag fair\n  boildown sessions --json | jq -r '.[].path'",
		Args:    exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			said := cmd.Flags().Changed
			if term := openTerminal(cmd.InOrStdin(), cmd.OutOrStdout(), &flags.browse.screen); term != nil && !flags.json && !said("sort") && !said("number") {
				return browseOn(cmd.Context(), term, &flags.browse)
			}
			return shelf(cmd.OutOrStdout(), &flags)
		},
	}
	set := cmd.Flags()
	flags.browse.register(set)
	set.StringVar(&flags.sort, "sort", "date", "date, recipe, title, target, peak, length or texture")
	set.BoolVar(&flags.json, "json", false, "print JSON for scripts")
	set.IntVarP(&flags.number, "number", "n", 0, "at most this many; 0 for all")
	return cmd
}

func shelf(out io.Writer, flags *shelfFlags) error {
	all, err := sessions.List(flags.browse.dir)
	if err != nil {
		return err
	}
	entries := flags.browse.fit.of(all)
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
		fmt.Fprintf(out, "No batch is kept in %s yet.\nboildown cook --demo makes one without a probe.\n", oneLine(flags.browse.dir))
		return nil
	case len(entries) == 0:
		fmt.Fprintf(out, "None of %d batches fits.\n", len(all))
		return nil
	}
	return shelfTable(out, entries, flags.browse.unit)
}

func shelfTable(out io.Writer, entries []sessions.Entry, unit probe.Unit) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "NAME\tBEGUN\tLENGTH\tTARGET\tPEAK\tTEXTURE\tENDED IN\tBATCH")
	for _, e := range entries {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", oneLine(e.Name), begun(e.Start), clockTime(e.End),
			tempOrDash(e.Target, unit, 0), tempOrDash(e.Peak, unit, 1), cmp.Or(e.Label.Outcome.TextureWord(), "-"), endedIn(e), oneLine(e.Title()))
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
		Recipe  string     `json:"recipe"`
		Texture int        `json:"texture"` // 0 not judged, 1 runny to 7 shatters
		Tags    []string   `json:"tags"`
		Phase   string     `json:"phase"`
		Closed  bool       `json:"closed"`
		Demo    bool       `json:"demo"`
		Damaged int        `json:"damaged"`
		Trouble string     `json:"trouble"`
	}
	lines := make([]line, 0, len(entries))
	for _, e := range entries {
		l := line{Name: e.Name, Path: e.Path, Title: e.Title(), Seconds: *rounded(e.End.Seconds(), 3), Phase: e.Phase,
			Recipe: e.Recipe, Texture: e.Label.Outcome.Texture, Tags: append([]string{}, e.Label.Tags...), Closed: e.Closed, Demo: e.Demo, Damaged: e.Damaged, Trouble: e.Trouble}
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
	enc := json.NewEncoder(jsonText{out})
	enc.SetIndent("", "  ")
	return enc.Encode(lines)
}
