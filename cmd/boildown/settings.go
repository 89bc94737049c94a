package main

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
	"time"

	"github.com/adrg/xdg"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"boildown/probe"
)

// Settings are flags that stand in a file. A key is the flag's name, its value
// is read by the flag's own parser, and a flag that is typed wins. What belongs
// to one thermometer stands in a table of its name:
//
//	near = "8F"
//	default-probe = "kettle"
//
//	[probe.kettle]
//	address = "usb:10C4:EA60:0001"
//	lag = "4.2s"
//
//	[probe.kettle.calibration]
//	date = 2026-11-25
//	ice = "0.60C"
//	boil = "99.10C"
//	water = "98.31C"

// settable are the flags that can stand in the file, in the order of the list
// that `boildown settings` prints. The flag --probe has a key of another name,
// since its own is that of the tables.
var settable = []string{
	"probe", "lag", "calibration-days",
	"altitude", "water-boils", "sea-level",
	"recipe", "target", "near", "reaction", "carry-over", "cook", "hob", "dip-open", "dip-close",
	"unit", "theme", "ascii", "rate", "plain",
	"alert", "notify", "quiet", "publish", "dir",
}

const probeKey = "default-probe"

// keyOf returns the file's key for a flag, and flagOf the way back.
func keyOf(flag string) string {
	if flag == "probe" {
		return probeKey
	}
	return flag
}

func flagOf(key string) string {
	if key == probeKey {
		return "probe"
	}
	return key
}

// settings is what a settings file says, checked.
type settings struct {
	path   string // where it is or would be; "" when there is none to be read
	text   string
	values map[string]setting // by flag
	probes map[string]*namedProbe
}

// setting is one value as a flag would be given it.
type setting struct {
	text string
	line int
}

// namedProbe is a thermometer that the file knows by name.
type namedProbe struct {
	name    string
	address string
	line    int
	values  map[string]setting // by flag
	cal     calibrationRecord
	boiled  time.Time // when water-boils was read; zero when nobody says
}

// standing is how strongly a flag's value was meant.
type standing uint8

const (
	standsByDefault standing = iota
	standsInSettings
	standsWithProbe // in the table of the probe in use
	standsTyped
)

// origin is the flag annotation that says where a value comes from.
const origin = "boildown_from"

// standingOf returns how strongly f's value was meant, and where it comes from.
func standingOf(f *pflag.Flag) (standing, string) {
	switch from := f.Annotations[origin]; {
	case f.Changed:
		return standsTyped, "flag"
	case len(from) != 2:
		return standsByDefault, "default"
	case from[0] != "":
		return standsWithProbe, from[1]
	default:
		return standsInSettings, from[1]
	}
}

// given reports whether anybody gave the flag a value: typed, or in settings.
func given(set *pflag.FlagSet, name string) bool {
	f := set.Lookup(name)
	if f == nil {
		return false
	}
	how, _ := standingOf(f)
	return how > standsByDefault
}

// strongest returns the flag among names whose value was meant most strongly,
// the first of equals, or "" when none was given.
func strongest(set *pflag.FlagSet, names ...string) string {
	best, name := standsByDefault, ""
	for _, n := range names {
		if f := set.Lookup(n); f != nil {
			if how, _ := standingOf(f); how > best {
				best, name = how, n
			}
		}
	}
	return name
}

// configFlag is the flag of every command that names the file.
const configFlag = "config"

// noConfig is what --config says to read no settings at all.
const noConfig = "none"

func defaultSettingsPath() string { return filepath.Join(xdg.ConfigHome, "boildown", "settings.toml") }

type settingsKey struct{}

// settingsFrom returns the settings that a command runs under, empty ones when
// it has none.
func settingsFrom(ctx context.Context) *settings {
	if s, ok := ctx.Value(settingsKey{}).(*settings); ok {
		return s
	}
	return &settings{}
}

// beginners are the commands that write what they are told into a file, which
// need not be there yet.
var beginners = []string{"boildown probes save", "boildown calibrate"}

// ofCook are the settings that say something of a batch to come. Elsewhere a
// flag of the same name means another batch, one that is over.
var ofCook = []string{"sea-level", "recipe", "target", "near", "reaction", "carry-over", "cook", "hob", "dip-open", "dip-close", "quiet"}

// heededBy returns the settings that a command goes by. trace goes by none: a
// script's answer must not depend on whose machine it runs on; nor must the
// scale of a file that is read or written.
func heededBy(cmd *cobra.Command) (names []string) {
	path := cmd.CommandPath()
	for _, name := range settable {
		switch {
		case cmd.Flags().Lookup(name) == nil, path == "boildown trace":
		case path == "boildown cook", path == "boildown settings":
			names = append(names, name)
		case slices.Contains(ofCook, name):
		case path == "boildown import" || path == "boildown export":
			if name == "dir" {
				names = append(names, name)
			}
		default:
			names = append(names, name)
		}
	}
	return names
}

// useSettings lays the settings under the flags of a command that is about to
// run.
func useSettings(cmd *cobra.Command) error {
	heeded := heededBy(cmd)
	if len(heeded) == 0 {
		return nil
	}
	path := ""
	if f := cmd.Flags().Lookup(configFlag); f != nil {
		path = f.Value.String()
	}
	s, err := loadSettings(path, slices.Contains(beginners, cmd.CommandPath()))
	var bad *settingsError
	if errors.As(err, &bad) && cmd.CommandPath() == "boildown settings" {
		return bad.all(cmd.ErrOrStderr())
	}
	if err != nil {
		return err
	}
	cmd.SetContext(context.WithValue(cmd.Context(), settingsKey{}, s))
	if cmd.CommandPath() == "boildown probes save" {
		return nil // what is typed is all that is kept
	}
	return s.lay(cmd.Flags(), heeded)
}

// lay sets every heeded flag that was not typed to what the file says of it,
// the probe's own table last.
func (s *settings) lay(set *pflag.FlagSet, heeded []string) error {
	d := set.Lookup("demo")
	demo := d != nil && d.Value.String() == "true"
	if !demo {
		if err := s.layOne(set, "probe", s.values["probe"], ""); err != nil {
			return err
		}
	}
	inUse, p := "", (*namedProbe)(nil)
	if f := set.Lookup("probe"); f != nil {
		inUse = f.Value.String()
		p = s.probes[inUse]
	}
	for _, name := range heeded {
		if name == "probe" || name == "lag" && p == nil && (demo || inUse == "sim") {
			continue // the simulated pot knows the lag of its own probe
		}
		if err := s.layOne(set, name, s.values[name], ""); err != nil {
			return err
		}
	}
	if p == nil {
		return nil
	}
	for name, v := range p.values {
		if err := s.layOne(set, name, v, p.name); err != nil {
			return err
		}
	}
	return nil
}

// layOne sets one flag. The value was checked when the file was read, but by
// the flags of cook; another command may take less.
func (s *settings) layOne(set *pflag.FlagSet, name string, v setting, table string) error {
	f := set.Lookup(name)
	if f == nil || f.Changed || v.line == 0 {
		return nil
	}
	if err := f.Value.Set(v.text); err != nil {
		return (&settingsError{Path: s.path, Problems: []problem{{Line: v.line, Field: keyOf(name), What: err.Error()}}}).failed()
	}
	where := lineWords(s.path, v.line)
	if table != "" {
		where += " [probe." + table + "]"
	}
	return set.SetAnnotation(name, origin, []string{table, where})
}

// use lets --probe be the name of a probe in the settings. It comes first in a
// command that reads one.
func (f *sourceFlags) use(s *settings) error {
	if p, ok := s.probes[f.probe]; ok {
		f.named, f.probe = p, p.address
		return nil
	}
	return s.misnamed(f.probe)
}

// calibration is the correction of the probe in use.
func (f *sourceFlags) calibration() probe.Calibration {
	if f.named == nil {
		return probe.Calibration{}
	}
	return f.named.cal.Calibration
}

// probeWarnings are what a cook should know of the named probe before the hob
// is lit.
func (f *cookFlags) probeWarnings(now time.Time) []string {
	boil := f.batch.set.Lookup("water-boils")
	how, _ := standingOf(boil)
	return f.source.named.warnings(now, f.source.calibrationDays, how == standsWithProbe && strongest(f.batch.set, "water-boils", "altitude") == boil.Name)
}

// offsetWords say on the screen what the correction in use rests on.
func (f *cookFlags) offsetWords(now time.Time) string {
	if f.source.named == nil || !f.source.named.cal.exists {
		return ""
	}
	return f.source.named.cal.words(now, f.source.calibrationDays)
}
