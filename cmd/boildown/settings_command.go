package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"boildown/probe"
)

func settingsCommand() *cobra.Command {
	var flags cookFlags
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "settings",
		Short: "Show each setting in force and where it comes from; set and unset them",
		Long: `settings shows what a cook would go by: each value and whether a flag, the table
of the probe in use, the settings file or the program's default gave it. Flags
of cook may be typed here to see what they change.

The file is TOML; each key is the name of a flag, and what is typed wins over
the table of the probe in use, that over the other settings, those over the
recipe's silence. The probe to use stands under ` + probeKey + `. What belongs to
one thermometer stands in a table of its name:

  ` + probeKey + ` = "kettle"
  near = "8F"

  [probe.kettle]
  address = "usb:10C4:EA60:0001"
  baud = 115200
  lag = "4.2s"

boildown probes save writes such a table, boildown calibrate adds the
calibration. trace goes by its own flags alone.`,
		Example: `  boildown settings
  boildown settings --probe kettle --near 8F
  boildown settings set altitude 300m
  boildown settings set probe.kettle.lag 4.2s
  boildown settings unset near`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return usagef(didYouMean(args[0], []string{"set", "unset"}), "boildown settings has no command %q", args[0])
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			s := settingsFrom(cmd.Context())
			rows := settingRows(cmd.Flags())
			if asJSON {
				return writeJSON(cmd, rows)
			}
			return s.write(cmd.OutOrStdout(), rows, time.Now(), flags.source.calibrationDays)
		},
	}
	set := cmd.Flags()
	flags.batch.register(set)
	flags.source.register(set)
	flags.screen.register(set)
	flags.alerts.register(set)
	registerDir(set, &flags.dir)
	set.BoolVar(&asJSON, "json", false, "print JSON")
	cmd.AddCommand(settingsSetCommand(), settingsUnsetCommand())
	return cmd
}

// settingRow is one value in force.
type settingRow struct {
	Key   string `json:"key"`
	Value string `json:"value"`
	From  string `json:"from"`
}

func settingRows(set *pflag.FlagSet) (rows []settingRow) {
	for _, name := range settable {
		f := set.Lookup(name)
		if f == nil {
			continue
		}
		how, from := standingOf(f)
		value := f.Value.String()
		if value == "" && how == standsByDefault {
			from = "not set"
		}
		rows = append(rows, settingRow{Key: keyOf(name), Value: value, From: from})
	}
	return rows
}

// write prints the rows, then the probes that the file knows.
func (s *settings) write(out io.Writer, rows []settingRow, now time.Time, days int) error {
	var b strings.Builder
	switch {
	case s.path == "":
		b.WriteString("No settings are read.\n\n")
	case s.text == "":
		fmt.Fprintf(&b, "Settings would stand in %s; there are none yet.\n\n", oneLine(s.path))
	default:
		fmt.Fprintf(&b, "Settings in %s\n\n", oneLine(s.path))
	}
	for _, r := range rows {
		value := oneLine(r.Value)
		if value == "" {
			value = "-"
		}
		fmt.Fprintf(&b, "%-17s %-22s %s\n", r.Key, value, oneLine(r.From))
	}
	for _, name := range slices.Sorted(maps.Keys(s.probes)) {
		s.probes[name].write(&b, now, days)
	}
	_, err := io.WriteString(out, b.String())
	return err
}

func (p *namedProbe) write(b *strings.Builder, now time.Time, days int) {
	fmt.Fprintf(b, "\n[probe.%s]\n", p.name)
	line := func(key, value string) { fmt.Fprintf(b, "  %-15s %s\n", key, oneLine(value)) }
	line("address", p.address)
	for _, key := range slices.Sorted(maps.Keys(p.values)) {
		line(key, p.values[key].text)
	}
	if !p.cal.exists {
		line("calibration", "none: boildown calibrate --probe "+p.name)
		return
	}
	at := probe.Fahrenheit(235)
	by := probe.Delta(p.cal.Apply(at) - at)
	line("calibration", fmt.Sprintf("%s: at 235 °F it is corrected by %+.1f °F (%+.2f °C)", p.cal.words(now, days), by.F(), float64(by)))
}

func settingsSetCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "set KEY VALUE",
		Short: "Write one setting",
		Long: `set writes one line of the settings file and begins the file where there is none.
Comments and the order of lines stay. A value that no cook could use is refused
and the file left as it was. The file is readable by its owner alone.`,
		Example:           "  boildown settings set near 8F\n  boildown settings set probe kettle\n  boildown settings set probe.kettle.lag 4.2s",
		Args:              exactly(2, "a key and its value"),
		ValidArgsFunction: completeSettingKey,
		RunE: func(cmd *cobra.Command, args []string) error {
			c, err := settingChange(args[0], args[1])
			if err != nil {
				return err
			}
			return changeAndSay(cmd, []change{c}, strings.Join(c.key, ".")+" = "+c.literal)
		},
	}
}

func settingsUnsetCommand() *cobra.Command {
	return &cobra.Command{
		Use:               "unset KEY",
		Short:             "Take one setting out, so that the default holds",
		Example:           "  boildown settings unset near",
		Args:              exactly(1, "a key"),
		ValidArgsFunction: completeSettingKey,
		RunE: func(cmd *cobra.Command, args []string) error {
			c, err := settingChange(args[0], "")
			if err != nil {
				return err
			}
			c.literal = ""
			return changeAndSay(cmd, []change{c}, strings.Join(c.key, ".")+" is not set")
		},
	}
}

func completeSettingKey(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return settingKeys(), cobra.ShellCompDirectiveNoFileComp
}

// changeAndSay changes the file that the command's --config names.
func changeAndSay(cmd *cobra.Command, changes []change, what string) error {
	path, err := settingsPath(cmd)
	if err != nil {
		return err
	}
	if err := changeSettings(path, changes); err != nil {
		return err
	}
	_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s\nin %s\n", oneLine(what), oneLine(path))
	return err
}

// settingsPath is the file that a command may write.
func settingsPath(cmd *cobra.Command) (string, error) {
	f := cmd.Flags().Lookup(configFlag)
	switch {
	case f == nil || f.Value.String() == "":
		return defaultSettingsPath(), nil
	case f.Value.String() == noConfig:
		return "", usagef("name a file, or leave --config out", "--config %s keeps nothing", noConfig)
	}
	return f.Value.String(), nil
}

// settingChange turns what a person typed into a change of the file.
func settingChange(key, text string) (change, error) {
	r := newSettingsReader("")
	path := strings.Split(key, ".")
	if key == "probe" {
		path = []string{probeKey}
	}
	c := change{key: path}
	name := path[len(path)-1]
	switch {
	case len(path) == 1 && slices.Contains(settable, flagOf(name)):
		c.literal = literal(r.flags.Lookup(flagOf(name)), text)
	case len(path) == 3 && path[0] == "probe" && probeNameTrouble(path[1]) == "" && slices.Contains(r.source, name):
		c.literal = literal(r.flags.Lookup(name), text)
	case len(path) == 3 && path[0] == "probe" && probeNameTrouble(path[1]) == "" && name == "address",
		len(path) == 4 && path[0] == "probe" && path[2] == "calibration":
		c.literal = quoted(text)
		if name == "gain" || name == "date" {
			c.literal = text
		}
	case len(path) == 1 && slices.Contains(r.source, name):
		return c, usagef("write probe.NAME."+name, "%s belongs to one probe", name)
	case len(path) == 3 && path[0] == "probe" && probeNameTrouble(path[1]) == "":
		return c, usagef(r.likeliest(name), "a probe has no setting %q", name)
	default:
		return c, usagef(didYouMean(key, settingKeys())+" What belongs to a probe is written probe.NAME.KEY", "there is no setting %q", key)
	}
	return c, nil
}
