package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"boildown/probe"
	"boildown/syrup"
)

// calibrateFlags are everything that can be said to a calibration.
type calibrateFlags struct {
	source   sourceFlags
	lag      time.Duration
	altitude float64
	pressure float64 // Pa
	weather  float64 // Pa, reduced to sea level
	unit     probe.Unit
	name     string
}

func calibrateCommand() *cobra.Command {
	var flags calibrateFlags
	cmd := &cobra.Command{
		Use:   "calibrate",
		Short: "Measure by how much your probe is off: in ice and in boiling water",
		Long: `calibrate leads you through one or two baths with your own probe: crushed ice in
water, and water at a rolling boil. A reading is taken only when it stands still.
What is found is kept with the probe's table in the settings, with its date, and
every cook with that probe is corrected by it.

Where the air pressure is known, by --pressure, --weather with --altitude, or
--altitude alone, boiling water calibrates the probe. Where it is not, boiling
water tells the air pressure instead; it cannot do both.

Boiling water and its steam scald. Pot at the back of the hob, handle turned in,
long sleeves, children and pets out of reach; let an adult do the boiling.`,
		Example: `  boildown calibrate --probe kettle --pressure 954.6hPa
  boildown calibrate --probe kettle --altitude 300m --weather 1021hPa
  boildown calibrate --probe /dev/ttyUSB0 --name kettle
  boildown calibrate --probe sim --speed 20`,
		Args: exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			keep, err := flags.keeper(cmd)
			if err != nil {
				return err
			}
			air, err := flags.air(cmd)
			if err != nil {
				return err
			}
			return benchOn(cmd, &flags.source, flags.lag, flags.unit, func(ctx context.Context, b *bench) error {
				c := calibration{bench: b, air: air, today: time.Now(), keep: keep}
				if flags.source.named != nil {
					c.before = flags.source.named.cal
				}
				return c.run(ctx)
			})
		},
	}
	set := cmd.Flags()
	flags.source.register(set)
	flags.unit = probe.UnitF
	set.DurationVar(&flags.lag, "lag", defaultLag, "the time constant of the simulated probe")
	set.Var(lengthValue(&flags.altitude, ""), "altitude", "height above the sea, for the air pressure")
	set.Var(&value[float64]{to: &flags.pressure, parse: parsePressure, kind: "pressure"}, "pressure", "air pressure here and now, as a barometer in this room shows it")
	set.Var(&value[float64]{to: &flags.weather, parse: parsePressure, kind: "pressure"}, "weather", "air pressure of the weather report, which is reduced to sea level; wants --altitude")
	set.Var(unitValue(&flags.unit, "F"), "unit", "scale of what is shown")
	set.StringVar(&flags.name, "name", "", "keep the probe under this name, if it has none yet")
	for _, name := range []string{"demo", "calibration-days"} {
		_ = set.MarkHidden(name) // they mean nothing here
	}
	return cmd
}

// benchOn opens the probe and runs a guided measurement on it.
func benchOn(cmd *cobra.Command, flags *sourceFlags, lag time.Duration, unit probe.Unit, measure func(context.Context, *bench) error) error {
	if err := flags.check(); err != nil {
		return err
	}
	var src source = newPractice(lag, flags.speed, flags.seed)
	if !flags.simulated() {
		var err error
		if src, err = flags.openPort(); err != nil {
			return err
		}
	}
	ctx, stop := context.WithCancel(cmd.Context())
	defer stop()
	clock := newClock(uptime, 0, flags.speed)
	return measure(ctx, newBench(ctx, cmd.InOrStdin(), cmd.OutOrStdout(), src, clock.tick, unit))
}

// notTyped refuses standard input as a probe: the answers come by it.
func (f *sourceFlags) notTyped() error {
	if f.probe == "-" {
		return usagef("give the probe another way in, such as a named pipe", "--probe - takes the input that the answers come by")
	}
	return nil
}

// keeper settles under which name the result is kept and returns what keeps
// it, nil for a simulated probe without a name.
func (f *calibrateFlags) keeper(cmd *cobra.Command) (func([]change) (string, error), error) {
	s := settingsFrom(cmd.Context())
	address := f.source.probe
	if err := errors.Join(f.source.notTyped(), f.source.use(s)); err != nil {
		return nil, err
	}
	name, begin := f.name, []change(nil)
	switch {
	case f.source.named != nil && name == "":
		name = f.source.named.name
	case f.source.named != nil && name != f.source.named.name:
		return nil, usagef("leave --name out", "the probe is named %s already", f.source.named.name)
	case name == "" && (f.source.simulated() || address == ""):
		return nil, nil
	case name == "":
		return nil, usagef("add --name kettle, or any other name", "a calibration is kept with a named probe, and %q has no name yet", address)
	case f.source.named == nil:
		var err error
		if begin, err = newProbe(s, name, &f.source, cmd.Flags()); err != nil {
			return nil, err
		}
	}
	path, err := settingsPath(cmd)
	if err != nil {
		return nil, err
	}
	return func(changes []change) (string, error) {
		for i := range changes {
			changes[i].key = append([]string{"probe", name}, changes[i].key...)
		}
		return name + " in " + path, changeSettings(path, append(begin, changes...))
	}, nil
}

// air is what is known of the air pressure: 0 Pa when nothing is.
type air struct {
	pPa  float64
	from string
	warn string
}

// air settles the pressure by the best that was given.
func (f *calibrateFlags) air(cmd *cobra.Command) (air, error) {
	set := cmd.Flags()
	switch {
	case given(set, "pressure"):
		return air{pPa: f.pressure, from: "the barometer"}, nil
	case given(set, "weather") && !given(set, "altitude"):
		return air{}, usagef("add --altitude 300m", "--weather is a figure for sea level: it wants the height as well")
	case given(set, "weather"):
		// The report's reduction undone by the standard atmosphere's ratio.
		p := f.weather * syrup.Pressure(f.altitude) / syrup.StandardPressure
		return air{pPa: p, from: "the weather report, at this height"}, nil
	case given(set, "altitude"):
		return air{
			pPa: syrup.Pressure(f.altitude), from: fmt.Sprintf("an altitude of %.0f m", f.altitude),
			warn: "The altitude leaves out the weather, which moves boiling water by up to 1.7 °F (1 °C)\neither way: with --weather and today's figure the calibration is that much better.",
		}, nil
	}
	return air{}, nil
}

// calibration is one run through the baths.
type calibration struct {
	*bench
	air    air
	before calibrationRecord // as it was until now
	today  time.Time
	keep   func([]change) (string, error) // nil when nothing is to be kept
}

const calibrateCautions = `Boiling water and its steam scald. Pot at the back of the hob, handle turned in,
long sleeves, hand beside the steam and not above it, children and pets away.
On a scald: 20 minutes of cool running water, no ice; a doctor for any child's.
Enter goes on, s leaves a bath out, q stops; nothing is kept before the end.`

const icePoint = `
ICE. Fill a glass with crushed ice, top it up with cold water, stir for a minute.
Hold the tip in the middle of the ice, off wall and bottom, and keep stirring.
Enter when it is in:`

const boilPoint = `
BOIL. Bring a pot of plain water to a rolling boil and keep it there.
Hold the tip in the middle of the water, off the bottom, out of the bubbles' rise.
Enter when it is in:`

// run leads through the baths and keeps the result.
func (c *calibration) run(ctx context.Context) error {
	c.say("%s", calibrateCautions)
	if c.air.pPa > 0 {
		c.say("\nWater boils at %s here (%.1f kPa, from %s).", c.unit.Temp(c.water(), 2), c.air.pPa/1e3, c.air.from)
		if c.air.warn != "" {
			c.say("%s", c.air.warn)
		}
	} else {
		c.say("\nThe air pressure is not known: boiling water will tell it. Where it is known\n(--weather and --altitude, or --pressure), boiling water calibrates instead.")
	}
	k := calibrationRecord{Date: c.today}
	var err error
	if k.Ice, k.HasIce, err = c.point(ctx, icePoint, 0, c.iceFits); err != nil {
		return err
	}
	if k.Boil, k.HasBoil, err = c.point(ctx, boilPoint, c.trulyBoils(), c.boilFits); err != nil {
		return err
	}
	if !k.HasIce && !k.HasBoil {
		return errors.New("both baths were left out: nothing was measured, nothing is changed")
	}
	return c.finish(ctx, k)
}

// point asks for one bath and measures it, unless it is left out.
func (c *calibration) point(ctx context.Context, ask string, truth probe.Celsius, fits func(probe.Celsius) string) (probe.Celsius, bool, error) {
	answer, err := c.ask(ctx, ask)
	if err != nil {
		return 0, false, err
	}
	if answer == "s" {
		c.say("  left out")
		return 0, false, nil
	}
	c.move(truth)
	t, err := c.bath(ctx, fits)
	return t, err == nil, err
}

// water is where water boils under the known pressure.
func (c *calibration) water() probe.Celsius {
	return probe.Celsius(syrup.WaterBoils(c.air.pPa)).Rounded()
}

// trulyBoils is where the water of the simulated bath boils.
func (c *calibration) trulyBoils() probe.Celsius {
	if c.air.pPa > 0 {
		return c.water()
	}
	return probe.Celsius(syrup.WaterBoils(syrup.StandardPressure))
}

// iceFits says what is wrong with a steady reading of ice.
func (c *calibration) iceFits(t probe.Celsius) string {
	if off := probe.Delta(t); off > probe.MaxOffset || off < -probe.MaxOffset {
		return fmt.Sprintf("ice melts at %s, and no sound probe is off by more than %s: more ice, finer, and stir", c.unit.Temp(0, 0), c.unit.Diff(probe.MaxOffset, 1))
	}
	return ""
}

// boilFits says what is wrong with a steady reading of boiling water.
func (c *calibration) boilFits(t probe.Celsius) string {
	if c.air.pPa == 0 {
		if !boilingPoint(t) {
			return "that is not where water boils between 5500 m and the lowest shore: is it at a rolling boil?"
		}
		return ""
	}
	if off := probe.Delta(t - c.water()); off > probe.MaxOffset || off < -probe.MaxOffset {
		return fmt.Sprintf("water boils at %s here, and no sound probe is off by more than %s: is it at a rolling boil, the tip under, the pressure right?", c.unit.Temp(c.water(), 1), c.unit.Diff(probe.MaxOffset, 1))
	}
	return ""
}
