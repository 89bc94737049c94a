package main

import (
	"context"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"boildown/probe"
	"boildown/probe/port"
)

// probesFlags say how hard to listen.
type probesFlags struct {
	list bool
	each time.Duration
	baud int
}

func probesCommand() *cobra.Command {
	var flags probesFlags
	cmd := &cobra.Command{
		Use:   "probes [PATH...]",
		Short: "Find the thermometer: list the ports and say what answers on them",
		Long: `probes lists the serial ports of this machine and listens to each, or to the ones
named, at the usual speeds. Some boards start anew when their port is opened.

No thermometer at hand? The simulated pot is there at any time: --probe sim.

Probes that are not a port which prints lines are named like this:
` + schemeHelp,
		Example: "  boildown probes\n  boildown probes /dev/ttyUSB0 --baud 115200\n  boildown probes --list",
		RunE: func(cmd *cobra.Command, args []string) error {
			return probes(cmd.Context(), cmd.OutOrStdout(), args, &flags)
		},
	}
	cmd.AddCommand(probesSaveCommand(), probesCheckCommand())
	cmd.Flags().BoolVar(&flags.list, "list", false, "list only, open nothing")
	cmd.Flags().DurationVar(&flags.each, "each", 3*time.Second, "how long to listen at each speed")
	cmd.Flags().IntVar(&flags.baud, "baud", 0, "listen at this speed alone; 0 tries the usual ones")
	return cmd
}

func probes(ctx context.Context, out io.Writer, paths []string, flags *probesFlags) error {
	if flags.each < 100*time.Millisecond || flags.each > time.Minute {
		return usagef("", "--each %s is not between 100ms and 1m", flags.each)
	}
	found := make([]port.Found, 0, len(paths))
	for _, p := range paths {
		found = append(found, port.Found{Path: p})
	}
	if len(paths) == 0 {
		var err error
		if found, err = port.List(); err != nil {
			return hinted(fmt.Errorf("cannot list the ports: %w", err), "name the port: boildown probes PATH")
		}
	}
	if len(found) == 0 {
		fmt.Fprintln(out, "No serial port was found. Plug the probe in, wait a moment, and try again.")
		fmt.Fprintln(out, "A port that is not listed can be named: boildown probes PATH")
	}
	for _, f := range found {
		fmt.Fprintln(out, portWords(f))
		if flags.list {
			continue
		}
		if err := listen(ctx, out, f, flags); err != nil {
			return err
		}
	}
	if len(paths) == 0 {
		listOthers(out, "")
	}
	return nil
}

// listen says what answers on one port. A port that cannot be opened is part
// of the answer, not the end of it.
func listen(ctx context.Context, out io.Writer, f port.Found, flags *probesFlags) error {
	bauds := port.UsualBauds
	if flags.baud != 0 {
		bauds = []int{flags.baud}
	}
	heard, err := port.Listen(ctx, f.Path, bauds, flags.each)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		fmt.Fprintf(out, "  %s\n", oneLine(port.Note(err)))
		return nil
	}
	for _, h := range heard {
		for _, l := range h.Lines[:min(len(h.Lines), 3)] {
			fmt.Fprintf(out, "  %d baud says %q\n", h.Baud, oneLine(l))
		}
		if h.OK {
			fmt.Fprintf(out, "  a thermometer at %d baud: %s\n  use it: %s\n  keep it: boildown probes save kettle --probe %s\n", h.Baud, oneLine(h.Guess.Why), cookLine(f, h), oneLine(lasting(f)))
			return nil
		}
	}
	fmt.Fprintf(out, "  %s\n", silenceWords(heard))
	return nil
}

// portWords names a port as a person can recognise and type it.
func portWords(f port.Found) string {
	words := []string{f.Path}
	for _, s := range []string{strings.TrimSpace(f.Manufacturer + " " + f.Product), f.ByID} {
		if s != "" {
			words = append(words, s)
		}
	}
	if f.USB != "" {
		words = append(words, "usb:"+f.USB)
	}
	return oneLine(strings.Join(words, "  "))
}

// cookLine is the command that cooks with what was heard.
func cookLine(f port.Found, h port.Heard) string {
	name := f.Path
	if f.USB != "" {
		name = "usb:" + f.USB
	}
	line := "boildown cook --probe " + name
	if h.Baud != port.DefaultBaud {
		line += fmt.Sprintf(" --baud %d", h.Baud)
	}
	return oneLine(line + formatFlags(h.Guess.Format))
}

// formatFlags are the flags that say to cook what f says.
func formatFlags(f probe.Format) string {
	s := ""
	if f.Unit == probe.UnitF {
		s += " --probe-unit F"
	}
	if f.Field != 0 {
		s += fmt.Sprintf(" --field %d", f.Field)
	}
	if f.Sep != "" {
		s += fmt.Sprintf(" --separator %q", f.Sep)
	}
	if f.Key != "" {
		s += fmt.Sprintf(" --key %q", f.Key)
	}
	if f.Comma {
		s += " --decimal-comma"
	}
	if f.Sensor != probe.SensorNone {
		s += " --sensor " + f.Sensor.String()
	}
	if f.Cold != 0 {
		s += fmt.Sprintf(" --cold-junction %.4gC", float64(f.Cold))
	}
	return s
}

// silenceWords says what came where no temperature did.
func silenceWords(heard []port.Heard) string {
	for _, h := range heard {
		if len(h.Lines) > 0 {
			return "no line plainly holds one temperature: choose with --field or --key when you cook"
		}
	}
	for _, h := range heard {
		if h.Bytes > 0 {
			return fmt.Sprintf("%d bytes and no line in them: try another --baud", h.Bytes)
		}
	}
	return "silent: is the probe switched on, and set to send by itself?"
}
