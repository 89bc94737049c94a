package main

import (
	"context"
	"io"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/port"
	"boildown/probe/pot"
)

// source is where readings come from. Run returns when ctx ends, when there
// will be no more, or with an error when it can never work.
type source interface {
	Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error
}

// sourceFlags say which probe to read and how.
type sourceFlags struct {
	probe string
	demo  bool
	speed float64
	seed  uint64
	baud  int
	frame string
	unit  probe.Unit
	field int
	sep   string
	key   string
	comma bool
	set   *pflag.FlagSet

	also   string
	noMelt bool
	sensor probe.Sensor
	cold   probe.Celsius

	stdin           io.Reader // of --probe -
	calibrationDays int
	named           *namedProbe // nil when the probe is not one of the settings'
}

// defaultCold is the cold junction of a board that says nothing of it: that of
// a room with a stove in it, a guess.
const defaultCold = "25C"

// format is how a line is read by what the flags say.
func (f *sourceFlags) format() probe.Format {
	is := probe.Format{Unit: f.unit, Field: f.field, Sep: f.sep, Key: f.key, Comma: f.comma, Sensor: f.sensor}
	if f.sensor == probe.SensorTypeK {
		is.Cold = f.cold
	}
	return is
}

func (f *sourceFlags) register(set *pflag.FlagSet) {
	f.set = set
	set.StringVar(&f.probe, "probe", "", "a name from the settings, sim, a port's path, usb:VID:PID, - for standard input, or as boildown probes --help says")
	set.BoolVar(&f.demo, "demo", false, "a simulated batch that cooks by itself until you press a mark")
	set.Float64Var(&f.speed, "speed", 1, "how much faster than life a simulated pot runs, up to 200")
	set.Uint64Var(&f.seed, "seed", 1, "which of the simulated pots")
	set.IntVar(&f.baud, "baud", port.DefaultBaud, "speed of a serial probe")
	set.StringVar(&f.frame, "frame", "8N1", "data bits, parity and stop bits of a serial probe")
	set.Var(unitValue(&f.unit, "C"), "probe-unit", "scale of lines that state none")
	set.IntVar(&f.field, "field", 0, "which field of a line holds the temperature, 1 for the first")
	set.StringVar(&f.sep, "separator", "", "what stands between fields")
	set.StringVar(&f.key, "key", "", "label before the temperature, or its key in JSON")
	set.BoolVar(&f.comma, "decimal-comma", false, "numbers are written like 112,4")
	set.Var(&value[probe.Sensor]{to: &f.sensor, parse: probe.ParseSensor, text: "none", kind: "sensor"}, "sensor", "what the number is if it is no temperature yet: type-k for millivolts, pt100 for ohms")
	f.cold, _ = potTemp(defaultCold)
	set.Var(tempValue(&f.cold, defaultCold), "cold-junction", "temperature of a thermocouple's cold junction, for --sensor type-k")
	set.StringVar(&f.also, "also", "", "other channels to keep and show, as room=field:2 or room=key:air,second=/dev/ttyUSB1")
	set.BoolVar(&f.noMelt, "no-melt", false, "the sugar melts without this probe: take it though it cannot measure so far")
	set.IntVar(&f.calibrationDays, "calibration-days", 30, "after how many days a calibration is called old")
}

// simulated reports whether the flags ask for the pot.
func (f *sourceFlags) simulated() bool { return f.demo || f.probe == "sim" }

// check refuses flags that do not go together.
func (f *sourceFlags) check() error {
	switch {
	case f.demo && f.probe != "" && f.probe != "sim":
		return usagef("leave one of them out", "--demo is a simulated pot, --probe %s is not", f.probe)
	case f.probe == "" && !f.demo:
		return usagef("boildown probes lists what is plugged in; boildown cook --demo needs no probe", "cook needs to know the probe: --probe PATH")
	case !(f.speed >= 0.1 && f.speed <= 200):
		return usagef("", "--speed %g is not between 0.1 and 200", f.speed)
	case f.speed != 1 && !f.simulated():
		return usagef("leave --speed out, or take --probe sim", "a real pot runs at its own speed")
	}
	return nil
}

// name is what the session's header calls the probe.
func (f *sourceFlags) name() string {
	switch {
	case f.named != nil:
		return f.named.name
	case f.simulated():
		return "sim"
	}
	return f.probe
}

// openPort returns the source that the flags name. It touches no device yet.
func (f *sourceFlags) openPort() (source, error) {
	set := port.Settings{
		Path: f.probe, Baud: f.baud, Frame: f.frame,
		Format: f.format(),
	}
	if usb, ok := strings.CutPrefix(f.probe, "usb:"); ok {
		set.Path, set.USB = "", usb
	}
	if src, ok, err := openScheme(f.probe, set, f.stdin); ok || err != nil {
		return src, err
	}
	p, err := port.New(set)
	if err != nil {
		return nil, usagef("boildown probes lists what is plugged in", "--probe %s: %w", f.probe, err)
	}
	return p, nil
}

// potBase lets base say what is known of a simulated batch: what is in the
// pot, the air, and the probe.
func (f *sourceFlags) potBase(base plateau.Config) plateau.Config {
	cfg := pot.DefaultConfig()
	base.Batch = plateau.Batch{Melt: cfg.Melt, Cream: cfg.Cream, PotJK: cfg.PotJK, CreamC: cfg.CreamC}
	base.Pressure, base.Lag = cfg.PressurePa, cfg.Probe.Lag
	return base
}

// potConfig is the simulated pot of a batch: what its header says of the
// recipe, the air and the probe is true of the pot as well.
func (f *sourceFlags) potConfig(of plateau.Config) pot.Config {
	cfg := pot.DefaultConfig()
	cfg.Seed = f.seed
	if of.Batch.Known() {
		cfg.Melt, cfg.Cream = of.Batch.Melt, of.Batch.Cream
		if of.Batch.CreamC > 0 {
			cfg.CreamC = of.Batch.CreamC
		}
	}
	if of.Pressure != 0 {
		cfg.PressurePa = of.Pressure
	}
	return cfg
}

// stove is a simulated pot together with whoever stands at it. Marks of the
// person act on the pot; the first of them sends the simulated cook away.
type stove struct {
	*pot.Source
	pump    *pump
	scripts bool // a simulated cook is at work
	last    plateau.Mark
}

// Tell passes what the person says on to the fold and to the pot. It is called
// from one goroutine at a time.
func (s *stove) Tell(in plateau.Input) {
	if s.scripts && (in.Kind == plateau.Marked || in.Kind == plateau.Undone) {
		s.TakeOver()
		s.scripts = false
	}
	switch in.Kind {
	case plateau.Marked:
		s.Told(in.Mark.String())
		s.last = in.Mark
	case plateau.Undone:
		s.Undo(s.last.String())
		s.last = plateau.NoMark
	}
	s.pump.Tell(in)
}

// press takes a mark of the simulated cook.
func (s *stove) press(word string) {
	if m, ok := plateau.MarkFor(word); ok {
		s.pump.Tell(plateau.Input{Kind: plateau.Marked, Mark: m})
	}
}

// watch lets the simulated cook, and the hand that pours for a person at the
// keys, hear the prompts.
func (s *stove) watch(_ plateau.Input, a plateau.Advice) {
	for p := range a.Began.All {
		s.Heard(p.String(), a.CreamG)
	}
}
