package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"boildown/probe"
	"boildown/probe/port"
)

func probesSaveCommand() *cobra.Command {
	var flags sourceFlags
	var lag, each time.Duration
	var replace, byDefault, deaf bool
	cmd := &cobra.Command{
		Use:   "save NAME",
		Short: "Keep a probe in the settings under a name",
		Long: `save writes where a probe is and how its lines are read into the settings, so
that --probe NAME is all a cook needs. A serial probe is listened to first,
unless you say how it speaks; without --probe the only one that answers is taken.
A USB device is kept by its identity, and found again under any port.`,
		Example: `  boildown probes save kettle
  boildown probes save kettle --probe /dev/ttyUSB0 --lag 4s --default
  boildown probes save bench --probe usb:10C4:EA60 --baud 115200 --field 2`,
		Args: exactly(1, "one name, as in kettle,"),
		RunE: func(cmd *cobra.Command, args []string) error {
			s := settingsFrom(cmd.Context())
			path, err := settingsPath(cmd)
			if err != nil {
				return err
			}
			name := args[0]
			if why := probeNameTrouble(name); why != "" {
				return usagef("take a name like kettle", "%s", why)
			}
			if s.probes[name] != nil && !replace {
				return usagef("--replace writes over it; a calibration is kept if the address stays", "there is a probe %s already, in %s", name, path)
			}
			if !deaf {
				if err := flags.hear(cmd.Context(), cmd.Flags(), each); err != nil {
					return err
				}
			}
			changes, err := replacing(s.probes[name], name, &flags, cmd.Flags())
			if err != nil {
				return err
			}
			if byDefault {
				changes = append(changes, change{[]string{probeKey}, quoted(name)})
			}
			if err := changeSettings(path, changes); err != nil {
				return err
			}
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "Kept as %s: %s%s\nin %s\nCook with it: boildown cook --probe %s\n",
				name, oneLine(flags.probe), oneLine(formatFlags(flags.format())), oneLine(path), name)
			return err
		},
	}
	set := cmd.Flags()
	flags.register(set)
	for _, hidden := range []string{"demo", "speed", "seed"} {
		_ = set.MarkHidden(hidden) // they mean nothing here
	}
	set.DurationVar(&lag, "lag", 0, "the probe's time constant; boildown probes check measures it")
	set.DurationVar(&each, "each", 2*time.Second, "how long to listen at each speed")
	set.BoolVar(&replace, "replace", false, "write over a probe of that name")
	set.BoolVar(&byDefault, "default", false, "cook with it when --probe is not given")
	set.BoolVar(&deaf, "no-listening", false, "keep what is typed, open nothing")
	return cmd
}

// newProbe are the lines of a probe that the settings do not know yet.
func newProbe(s *settings, name string, flags *sourceFlags, set *pflag.FlagSet) ([]change, error) {
	if why := probeNameTrouble(name); why != "" {
		return nil, usagef("take a name like kettle", "%s", why)
	}
	if s.probes[name] != nil {
		return nil, usagef("calibrate it by --probe "+name+", or take another name", "there is a probe %s already", name)
	}
	return replacing(nil, name, flags, set)
}

// replacing are the lines of a probe, and those of an older one of its name
// that go.
func replacing(old *namedProbe, name string, flags *sourceFlags, set *pflag.FlagSet) (changes []change, err error) {
	at := func(key, literal string) {
		changes = append(changes, change{[]string{"probe", name, key}, literal})
	}
	if flags.probe == "" {
		return nil, usagef("boildown probes lists what is plugged in", "nothing says where the probe is: --probe PATH")
	}
	if old != nil {
		for key := range old.values {
			at(key, "")
		}
		at(boiledKey, "")
		if old.address != flags.probe { // another thermometer
			for _, key := range []string{"date", "ice", "boil", "water", "gain", "offset"} {
				changes = append(changes, change{[]string{"probe", name, "calibration", key}, ""})
			}
		}
	}
	at("address", quoted(flags.probe))
	for _, key := range newSettingsReader("").source {
		if f := set.Lookup(key); f != nil && f.Changed {
			at(key, literal(f, f.Value.String()))
		}
	}
	return changes, nil
}

// hear finds out what the flags leave open: which port, and how its lines are
// read. What was typed stays as it is.
func (f *sourceFlags) hear(ctx context.Context, set *pflag.FlagSet, each time.Duration) error {
	all, err := port.List()
	if err != nil && f.probe == "" {
		return hinted(fmt.Errorf("cannot list the ports: %w", err), "name the port: --probe PATH")
	}
	if f.probe == "" {
		return f.hearAny(ctx, set, all, each)
	}
	if strings.Contains(f.probe, ":") || f.probe == "sim" || f.probe == "-" {
		return nil // no path of a port: nothing to listen to
	}
	found := port.Found{Path: f.probe}
	for _, p := range all {
		if p.Path == f.probe || p.ByID == f.probe {
			found = p
		}
	}
	if said := strongest(set, "field", "key", "probe-unit", "sensor"); said == "" {
		if err := f.hearOne(ctx, set, found, each); err != nil {
			return err
		}
	}
	f.probe = lasting(found)
	return nil
}

// hearAny takes the one port on which a thermometer answers.
func (f *sourceFlags) hearAny(ctx context.Context, set *pflag.FlagSet, all []port.Found, each time.Duration) error {
	var found []port.Found
	for _, p := range all {
		if p.USB == "" {
			continue // opening a built-in port may disturb what hangs on it
		}
		if heard, err := listenOK(ctx, p.Path, nil, each); err == nil && heard != nil {
			found = append(found, p)
			if err := f.take(set, *heard); err != nil {
				return err
			}
		}
	}
	switch len(found) {
	case 1:
		f.probe = lasting(found[0])
		return nil
	case 0:
		return usagef("plug it in, or name it: --probe PATH; boildown probes says what answers", "no thermometer answers on a USB port")
	}
	return usagef("name one: --probe "+lasting(found[0]), "%d thermometers answer", len(found))
}

// hearOne listens to one port.
func (f *sourceFlags) hearOne(ctx context.Context, set *pflag.FlagSet, found port.Found, each time.Duration) error {
	var bauds []int
	if set.Changed("baud") {
		bauds = []int{f.baud}
	}
	heard, err := listenOK(ctx, found.Path, bauds, each)
	switch {
	case err != nil:
		return hinted(fmt.Errorf("cannot listen to %q: %w", found.Path, err), "--no-listening keeps it as typed")
	case heard == nil:
		return usagef("boildown probes "+found.Path+" shows what it says; --no-listening keeps it as typed", "no temperature comes from %q", found.Path)
	}
	return f.take(set, *heard)
}

// listenOK returns what was heard, nil where no temperature was.
func listenOK(ctx context.Context, path string, bauds []int, each time.Duration) (*port.Heard, error) {
	heard, err := port.Listen(ctx, path, bauds, each)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	for _, h := range heard {
		if h.OK {
			return &h, nil
		}
	}
	return nil, err
}

// take sets the flags to what was heard, as if it had been typed.
func (f *sourceFlags) take(set *pflag.FlagSet, h port.Heard) error {
	is := h.Guess.Format
	said := map[string]string{}
	if h.Baud != port.DefaultBaud {
		said["baud"] = strconv.Itoa(h.Baud)
	}
	if is.Unit == probe.UnitF {
		said["probe-unit"] = "F"
	}
	if is.Field != 0 {
		said["field"] = strconv.Itoa(is.Field)
	}
	if is.Sep != "" {
		said["separator"] = is.Sep
	}
	if is.Key != "" {
		said["key"] = is.Key
	}
	if is.Comma {
		said["decimal-comma"] = "true"
	}
	for name, text := range said {
		if set.Changed(name) {
			continue
		}
		if err := set.Set(name, text); err != nil {
			return err
		}
	}
	return nil
}

// lasting is the address by which a port is found again.
func lasting(p port.Found) string {
	switch {
	case p.USB != "":
		return "usb:" + p.USB
	case p.ByID != "":
		return p.ByID
	}
	return p.Path
}
