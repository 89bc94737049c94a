package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"boildown/probe"
	"boildown/syrup"
)

func probesCheckCommand() *cobra.Command {
	var flags sourceFlags
	var lag time.Duration
	unit := probe.UnitF
	cmd := &cobra.Command{
		Use:   "check",
		Short: "Measure whether a probe is good enough for 1 °F: noise, steps, rate, lag",
		Long: `check leads you through one plunge, from cold water into boiling water, and says
how fine and how fast the probe is, and whether that is good enough to pull a
caramel within 1 °F. What it finds of the lag it can keep with the probe's name.

Boiling water and its steam scald. Pot at the back of the hob, handle turned in,
long sleeves, children and pets out of reach; let an adult do the boiling.`,
		Example: "  boildown probes check --probe kettle\n  boildown probes check --probe sim --speed 20",
		Args:    exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := errors.Join(flags.notTyped(), flags.use(settingsFrom(cmd.Context()))); err != nil {
				return err
			}
			path := ""
			if flags.named != nil { // the settings know it, so there is a file
				path = settingsFrom(cmd.Context()).path
			}
			return benchOn(cmd, &flags, lag, unit, func(ctx context.Context, b *bench) error {
				c := probeCheck{bench: b, named: flags.named, path: path, days: flags.calibrationDays, today: time.Now()}
				return c.run(ctx)
			})
		},
	}
	set := cmd.Flags()
	flags.register(set)
	_ = set.MarkHidden("demo") // it means nothing here
	set.DurationVar(&lag, "lag", defaultLag, "the time constant of the simulated probe")
	set.Var(unitValue(&unit, "F"), "unit", "scale of what is shown")
	return cmd
}

// probeCheck is one run of the check.
type probeCheck struct {
	*bench
	named *namedProbe // nil when the probe has no name
	path  string      // of the settings
	days  int
	today time.Time
}

// The plunge: how long the ends must stand still, how far apart they are at
// least, and how much of the cold end is kept before the plunge.
const (
	plungeSteady = 10 * time.Second
	plungeRise   = probe.Delta(5) // K: the tip is on its way
	plungeBefore = 5 * time.Second
	plungeWater  = probe.Celsius(70) // hotter than this is no cold bath left
)

const coldBath = `
COLD. Hold the tip in a glass of cold water. Have a pot of water at a rolling boil
ready beside it, where you can reach it safely.
Enter when the tip is in the cold water:`

// run measures and says what it found.
func (c *probeCheck) run(ctx context.Context) error {
	c.say("%s", calibrateCautions)
	if _, err := c.ask(ctx, coldBath); err != nil {
		return err
	}
	c.move(15)
	cold, err := c.still(ctx, nil, func(t probe.Celsius) string {
		if t > 40 {
			return "that is warm: the plunge wants cold water first"
		}
		return ""
	})
	if err != nil {
		return err
	}
	c.say("\nNOW: quickly into the boiling water, and keep it there.")
	c.move(probe.Celsius(syrup.WaterBoils(syrup.StandardPressure)))
	plunge, err := c.still(ctx, lastOf(cold, plungeBefore), func(t probe.Celsius) string {
		if t < plungeWater {
			return "that is not boiling water yet"
		}
		return ""
	})
	if err != nil {
		return err
	}
	c.say("  there. Keep it in the boiling water for half a minute more.")
	steady, err := c.collect(ctx, steadyFor)
	if err != nil {
		return err
	}
	return c.finish(ctx, probe.Judge(steady, plunge))
}

// still collects readings behind those it is given until the last of them
// stand still at a temperature that fits, and returns them all.
func (c *probeCheck) still(ctx context.Context, all []probe.Reading, fits func(probe.Celsius) string) ([]probe.Reading, error) {
	s := steadiness{span: plungeSteady}
	told := ""
	err := c.read(ctx, func(r probe.Reading) bool {
		all = append(all, r)
		s.add(r)
		if !s.steady() {
			return false
		}
		why := fits(s.look().mean)
		if why != "" && why != told {
			told = why
			c.say("  steady at %s: %s", c.unit.Temp(s.look().mean, 1), why)
		}
		return why == ""
	}, func() string { return s.words(c.unit) })
	return all, err
}

// collect takes the readings of a time.
func (c *probeCheck) collect(ctx context.Context, span time.Duration) (all []probe.Reading, err error) {
	err = c.read(ctx, func(r probe.Reading) bool {
		all = append(all, r)
		return r.At-all[0].At >= span
	}, func() string { return "reading" })
	return all, err
}

func lastOf(all []probe.Reading, span time.Duration) []probe.Reading {
	from := len(all)
	for from > 0 && all[len(all)-1].At-all[from-1].At <= span {
		from--
	}
	return all[from:]
}

// finish prints the figures and the verdict, and offers to keep the lag.
func (c *probeCheck) finish(ctx context.Context, q probe.Quality) error {
	c.say("")
	c.say("noise       %s (one standard deviation, in boiling water)", c.unit.Diff(q.Noise, 2))
	c.say("resolution  %s", c.stepWords(q.Step))
	c.say("rate        a reading each %.2g s", q.Interval.Seconds())
	if q.Lag > 0 {
		c.say("lag         %.1f s to 63 %% of a plunge into boiling water; syrup is slower", q.Lag.Seconds())
	} else {
		c.say("lag         could not be told: the plunge was not seen from its beginning to its end")
	}
	if q.Faults > 0 {
		c.say("faults      %d of %d readings", q.Faults, q.Readings)
	}
	c.say("\n%s", c.verdict(q))
	if c.named == nil || q.Lag == 0 {
		return nil
	}
	return c.offerLag(ctx, time.Duration(math.Round(q.Lag.Seconds()*10))*time.Second/10)
}

func (c *probeCheck) stepWords(step probe.Delta) string {
	if step == 0 {
		return "not seen: every reading was the same"
	}
	return "steps of " + c.unit.Diff(step, 2)
}

// verdict says in words what the probe is good for. A fine probe that was
// never calibrated may still read degrees wrong: the tolerance of a standard
// type K thermocouple is 2.2 °C (ASTM E230, from memory).
func (c *probeCheck) verdict(q probe.Quality) string {
	good, why := q.Verdict(c.unit)
	cal := calibrationRecord{}
	if c.named != nil {
		cal = c.named.cal
	}
	switch {
	case !good:
		return "Not good enough for ±1 °F:\n  " + strings.Join(why, "\n  ")
	case !cal.exists:
		return "Fine and fast enough for ±1 °F, but not calibrated: a sound probe may be off by\n4 °F (2.2 °C). boildown calibrate measures by how much."
	case cal.Date.IsZero() || cal.ageDays(c.today) > c.days:
		return "Fine and fast enough for ±1 °F, but its calibration is old: boildown calibrate."
	case cal.HasIce && !cal.HasBoil:
		return "Fine and fast enough for ±1 °F, but calibrated in ice alone, far from where\ncaramel boils: boildown calibrate, with the air pressure."
	}
	return "Good enough for ±1 °F."
}

// offerLag keeps the lag when the person wants it kept.
func (c *probeCheck) offerLag(ctx context.Context, lag time.Duration) error {
	answer, err := c.ask(ctx, fmt.Sprintf("Enter keeps a lag of %s for %s, n leaves it as it is:", lag, c.named.name))
	if err != nil {
		return err
	}
	if strings.HasPrefix(answer, "n") {
		c.say("Left as it was.")
		return nil
	}
	if err := changeSettings(c.path, []change{{[]string{"probe", c.named.name, "lag"}, quoted(lag.String())}}); err != nil {
		return err
	}
	c.say("Kept in %s.", oneLine(c.path))
	return nil
}
